/** A picture in memory: rows from top to bottom, four bytes a pixel, red green blue alpha. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A rectangle of whole pixels, origin top left. */
export interface PixelRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface PictureDifference {
  /** Largest difference of any channel of any pixel, 0–255. */
  readonly largest: number;
  /** How many pixels differ by more than the tolerance in some channel. */
  readonly differing: number;
  readonly compared: number;
  /** Where the largest difference is. */
  readonly at: { readonly x: number; readonly y: number } | undefined;
}

/**
 * Compares two pictures of the same size. `edge` pixels along each side are left out, because a clip that falls
 * inside a pixel is anti-aliased there.
 */
export function pictureDifference(
  a: Picture,
  b: Picture,
  { tolerance = 0, edge = 0 }: { readonly tolerance?: number; readonly edge?: number } = {},
): PictureDifference {
  if (a.width !== b.width || a.height !== b.height) {
    throw new Error(
      `Pictures of ${a.width}×${a.height} and ${b.width}×${b.height} pixels cannot be compared`,
    );
  }
  let largest = 0;
  let differing = 0;
  let compared = 0;
  let at: PictureDifference['at'];
  for (let y = edge; y < a.height - edge; y += 1) {
    for (let x = edge; x < a.width - edge; x += 1) {
      const from = (y * a.width + x) * 4;
      let difference = 0;
      for (let channel = 0; channel < 3; channel += 1) {
        difference = Math.max(difference, Math.abs(a.data[from + channel]! - b.data[from + channel]!));
      }
      compared += 1;
      if (difference > tolerance) differing += 1;
      if (difference > largest) {
        largest = difference;
        at = { x, y };
      }
    }
  }
  return { largest, differing, compared, at };
}

/**
 * How many pixels of `a` show what `b` shows neither there nor in any of the eight pixels around, and the other way
 * round. An edge that is drawn a fraction of a pixel aside does not count; anything else does.
 */
export function pixelsBeyondEdges(
  a: Picture,
  b: Picture,
  { tolerance = 0, edge = 1 }: { readonly tolerance?: number; readonly edge?: number } = {},
): number {
  if (a.width !== b.width || a.height !== b.height) throw new Error('Pictures of two sizes.');
  let beyond = 0;
  for (let y = edge; y < a.height - edge; y += 1) {
    for (let x = edge; x < a.width - edge; x += 1) {
      const at = (y * a.width + x) * 4;
      for (let channel = at; channel < at + 3; channel += 1) {
        if (Math.abs(a.data[channel]! - b.data[channel]!) <= tolerance) continue;
        if (isBetweenNeighbors(a, b, channel, tolerance) && isBetweenNeighbors(b, a, channel, tolerance))
          continue;
        beyond += 1;
        break;
      }
    }
  }
  return beyond;
}

function isBetweenNeighbors(a: Picture, b: Picture, channel: number, tolerance: number): boolean {
  const stride = b.width * 4;
  let low = 255;
  let high = 0;
  for (const row of [-stride, 0, stride]) {
    for (const column of [-4, 0, 4]) {
      const value = b.data[channel + row + column] ?? b.data[channel]!;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  return a.data[channel]! >= low - tolerance && a.data[channel]! <= high + tolerance;
}

/** The part of a picture inside `rect`, which must lie within it. */
export function pictureCropped(picture: Picture, rect: PixelRect): Picture {
  const { x, y, width, height } = rect;
  if (x < 0 || y < 0 || x + width > picture.width || y + height > picture.height) {
    throw new Error(
      `${width}×${height} pixels at ${x},${y} do not lie in ${picture.width}×${picture.height}`,
    );
  }
  const data = new Uint8Array(width * height * 4);
  for (let row = 0; row < height; row += 1) {
    const from = ((y + row) * picture.width + x) * 4;
    data.set(picture.data.subarray(from, from + width * 4), row * width * 4);
  }
  return { width, height, data };
}

/** Clockwise by 90°: the upper edge becomes the right one. */
export function pictureTurnedClockwise({ width, height, data }: Picture): Picture {
  const turned = new Uint8Array(data.length);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const from = (y * width + x) * 4;
      turned.set(data.subarray(from, from + 4), (x * height + (height - 1 - y)) * 4);
    }
  }
  return { width: height, height: width, data: turned };
}

/** An empty picture, white unless told otherwise. */
export function pictureBlank(width: number, height: number, value = 255): Picture {
  return { width, height, data: new Uint8Array(width * height * 4).fill(value) };
}

/** Lays `part` onto `whole` with its top left corner at x, y. Changes `whole`. */
export function layPicture(whole: Picture, part: Picture, x: number, y: number): void {
  for (let row = 0; row < part.height; row += 1) {
    const from = row * part.width * 4;
    whole.data.set(part.data.subarray(from, from + part.width * 4), ((y + row) * whole.width + x) * 4);
  }
}

export function pixelAt(picture: Picture, x: number, y: number): [red: number, green: number, blue: number] {
  const at = (y * picture.width + x) * 4;
  return [picture.data[at]!, picture.data[at + 1]!, picture.data[at + 2]!];
}

/** How many different colors a picture holds; a guard against comparing two blank pages. */
export function colorCount(picture: Picture): number {
  const colors = new Set<number>();
  for (let at = 0; at < picture.data.length; at += 4) {
    colors.add((picture.data[at]! << 16) | (picture.data[at + 1]! << 8) | picture.data[at + 2]!);
  }
  return colors.size;
}

/** Reads binary PGM, PPM (P5, P6) and PAM (P7) pictures, as the command-line renderers write them. */
export function pictureFromNetpbm(bytes: Uint8Array): Picture {
  const text = Buffer.from(bytes.subarray(0, 512)).toString('latin1');
  const isPam = text.startsWith('P7');
  const header = isPam
    ? /^P7\n[\s\S]*?ENDHDR\n/.exec(text)
    : /^P([56])\s+(?:#[^\n]*\n)*(\d+)\s+(\d+)\s+(\d+)\s/.exec(text);
  if (!header) throw new Error('This is no PGM, PPM or PAM picture');
  const field = (name: string): number => Number(new RegExp(`${name} (\\d+)`).exec(header[0])![1]);
  const width = isPam ? field('WIDTH') : Number(header[2]);
  const height = isPam ? field('HEIGHT') : Number(header[3]);
  const channels = isPam ? field('DEPTH') : header[1] === '5' ? 1 : 3;
  const samples = bytes.subarray(header[0].length);
  const data = new Uint8Array(width * height * 4);
  for (let pixel = 0; pixel < width * height; pixel += 1) {
    for (let channel = 0; channel < 3; channel += 1) {
      data[pixel * 4 + channel] = samples[pixel * channels + (channels === 1 ? 0 : channel)]!;
    }
    // PAM of four inks keeps black in the alpha place, so that the same comparison serves.
    data[pixel * 4 + 3] = channels === 4 ? samples[pixel * 4 + 3]! : 255;
  }
  return { width, height, data };
}
