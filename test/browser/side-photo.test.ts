import { createCanvas } from '@napi-rs/canvas';
import { expect, it } from 'vitest';
import { sideOutline } from '../../core/job/side-outline.ts';
import { homographyApplied, homographyFromPairs } from '../../core/vehicle/homography.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, benchPoint } from './workstation.ts';

const [WIDTH, HEIGHT] = [800, 600];
/** Where the corners of the side are seen, from the upper left one round. */
const CORNERS = [
  { x: 90, y: 80 },
  { x: 720, y: 150 },
  { x: 700, y: 480 },
  { x: 60, y: 540 },
];

/** What the test asks of the canvas, in the page. */
interface BenchCanvas {
  readonly width: number;
  getBoundingClientRect(): { readonly left: number; readonly top: number; readonly width: number };
  getContext(kind: '2d'): {
    getImageData(x: number, y: number, width: number, height: number): { readonly data: Uint8ClampedArray };
  };
}

describeInBrowser('a photo of a side', () => {
  const shared = sharedWindow({ bypassCSP: true });

  it('is laid on the side by clicked and typed points, seen over and under the artwork, undone and kept', async () => {
    const job = await shared.openNewJob();
    const { page, station } = shared;
    const side = job.sides[0]!;
    const { width, height } = sideOutline(side, job.scale);
    const onSide = [
      { x: 0, y: 0 },
      { x: width, y: 0 },
      { x: width, y: height },
      { x: 0, y: height },
    ];
    const seen = homographyFromPairs(onSide.map((from, n) => ({ from, to: CORNERS[n]! })))!;
    const spot = { x: width * 0.7, y: height * 0.4 };
    const spotSeen = homographyApplied(seen, spot);
    const canvas = createCanvas(WIDTH, HEIGHT);
    const paint = canvas.getContext('2d');
    paint.fillStyle = '#808080';
    paint.fillRect(0, 0, WIDTH, HEIGHT);
    paint.fillStyle = '#ff0000';
    paint.beginPath();
    paint.arc(spotSeen.x, spotSeen.y, 12, 0, 2 * Math.PI);
    paint.fill();

    await page.locator('.panel').first().click();
    await page
      .getByRole('navigation', { name: 'On the bench' })
      .getByRole('button', { name: side.code })
      .click();
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    await page.getByLabel('Photo of the side').setInputFiles({
      name: 'driver.png',
      mimeType: 'image/png',
      buffer: canvas.toBuffer('image/png'),
    });
    const dialog = page.getByRole('dialog', { name: `Lay driver.png on ${side.name}` });
    await dialog.getByText('4 more points are needed').waitFor();
    await dialog.getByRole('img', { name: 'driver.png' }).waitFor();
    await dialog.getByRole('button', { name: 'Mark the corners of the side' }).click();
    const photo = dialog.locator('.point-pane').first().locator('.picture-pane-paper');
    const clickPhoto = async ({ x, y }: { x: number; y: number }) => {
      const box = (await photo.boundingBox())!;
      await photo.click({ position: { x: (x / WIDTH) * box.width, y: (y / HEIGHT) * box.height } });
    };
    for (const corner of CORNERS) await clickPhoto(corner);
    await dialog.getByText('Its points fit exactly, as so few must').waitFor();
    await clickPhoto(spotSeen);
    const fifth = dialog.getByRole('group', { name: 'Point 5' });
    await fifth.getByLabel('From the left').fill(`${spot.x + 60}`);
    await fifth.getByLabel('From the left').press('Enter');
    await fifth.getByLabel('From the top').fill(`${spot.y}`);
    await fifth.getByLabel('From the top').press('Enter');
    await dialog.getByText(/Point \d is off most, by [1-9]/).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Remove Point 5' }).click();
    await dialog.getByRole('radio', { name: 'Lines that are straight on the vehicle' }).check();
    const pane = dialog.getByRole('application', { name: 'Photo: arrow keys move the point in hand' });
    await pane.press('ArrowRight');
    await pane.press('Shift+ArrowUp');
    await dialog.getByText('1 point (three are needed)').waitFor();
    await dialog.getByRole('button', { name: 'Add a point to the last line' }).click();
    await pane.press('ArrowRight');
    await dialog.getByText('2 points (three are needed)').waitFor();
    await dialog.getByRole('button', { name: 'Remove line 1' }).click();
    await dialog.getByRole('button', { name: 'Keep these points' }).click();
    await dialog.waitFor({ state: 'detached' });

    await page.getByLabel('Opacity of the photo').fill('100');
    const colorAt = async (mm: { x: number; y: number }) => {
      const at = await benchPoint(page, mm.x, mm.y);
      return await page.locator('.bench-area > canvas').evaluate((bench: BenchCanvas, { x, y }) => {
        const box = bench.getBoundingClientRect();
        const ratio = bench.width / box.width;
        const pixel = bench
          .getContext('2d')
          .getImageData((x - box.left) * ratio, (y - box.top) * ratio, 1, 1);
        return [...pixel.data.slice(0, 3)];
      }, at);
    };
    await expect.poll(async () => await colorAt(spot), { timeout: 30_000 }).toEqual([255, 0, 0]);
    expect(await colorAt({ x: spot.x - width * 0.2, y: spot.y })).toEqual([128, 128, 128]);
    await page.getByLabel('Photo from the left edge up to').fill('50');
    await expect.poll(async () => await colorAt(spot), { timeout: 30_000 }).not.toEqual([255, 0, 0]);
    // Under the artwork, which reaches up to the line: beyond it the photo alone, on the near side the artwork alone.
    await page.getByRole('radio', { name: 'Under the artwork' }).check();
    await expect.poll(async () => await colorAt(spot), { timeout: 30_000 }).toEqual([255, 0, 0]);
    expect(await colorAt({ x: spot.x - width * 0.4, y: spot.y })).not.toEqual([128, 128, 128]);
    await page.getByLabel('Opacity of the artwork').fill('0');
    await expect
      .poll(async () => await colorAt({ x: spot.x - width * 0.4, y: spot.y }), { timeout: 30_000 })
      .toEqual([128, 128, 128]);
    await page.getByText(/proud, as a handle or a mirror may, is seen up to about .* too far/).waitFor();
    await awaitSaved(page);
    const kept = (await archivedJob(station, job.id)).sides[0]!.photo;
    expect(kept).toMatchObject({
      fileName: 'driver.png',
      widthPx: WIDTH,
      heightPx: HEIGHT,
      isSquareOn: false,
    });
    expect(kept!.points).toHaveLength(4);
    await page.getByLabel('Print it small on the install map').check();
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).sides[0]!.photo).toEqual({ ...kept, isOnMap: true });
    await page.getByRole('button', { name: 'Remove the photo' }).click();
    await page.getByRole('button', { name: 'Select a photo…' }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Remove the photo' }).waitFor();
  });

  it('is laid by a rectangle of known size, and measures the side', async () => {
    const job = await shared.openNewJob();
    const { page, station } = shared;
    const side = job.sides[0]!;
    await page.locator('.panel').first().click();
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    await page.getByLabel('Photo of the side').setInputFiles({
      name: 'door.png',
      mimeType: 'image/png',
      buffer: createCanvas(WIDTH, HEIGHT).toBuffer('image/png'),
    });
    const dialog = page.getByRole('dialog', { name: `Lay door.png on ${side.name}` });
    await dialog.getByRole('img', { name: 'door.png' }).waitFor();
    const [photo, onSide] = [0, 1].map((nth) =>
      dialog.locator('.point-pane').nth(nth).locator('.picture-pane-paper'),
    );
    const boxOf = async (paper: typeof photo) => (await paper!.boundingBox())!;
    const clickPhoto = async (x: number, y: number) => {
      const box = await boxOf(photo);
      await photo!.click({ position: { x: (x / WIDTH) * box.width, y: (y / HEIGHT) * box.height } });
    };
    await dialog.getByRole('radio', { name: 'A rectangle of known size' }).check();
    for (const [x, y] of [
      [200, 150],
      [300, 150],
      [300, 350],
      [200, 350],
    ])
      await clickPhoto(x!, y!);
    const type = async (label: string, text: string) => {
      await dialog.getByLabel(label).fill(text);
      await dialog.getByLabel(label).press('Enter');
    };
    await type('Width of the rectangle', '1000 mm');
    await type('Height of the rectangle', '2000 mm');
    await dialog.getByText('The photo has its scale, but not its place on the side yet.').waitFor();
    // Clicked on the side, then dragged.
    const box = await boxOf(onSide);
    await onSide!.click({ position: { x: box.width * 0.3, y: box.height * 0.2 } });
    await dialog.getByText('The photo lies on the side.').waitFor();
    const before = await dialog.getByLabel('Corner from the left').inputValue();
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height * 0.2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.4, box.y + box.height * 0.2, { steps: 4 });
    await page.mouse.up();
    await expect
      .poll(async () => await dialog.getByLabel('Corner from the left').inputValue())
      .not.toBe(before);
    await type('Corner from the left', '500 mm');
    await type('Corner from the top', '100 mm');
    await dialog.getByRole('radio', { name: 'Lengths', exact: true }).check();
    await clickPhoto(120, 400);
    await clickPhoto(620, 400);
    const length = dialog.getByRole('group', { name: 'Length 1' });
    await length.getByLabel('It is').selectOption('The width of the side');
    await length.getByText(/about .* on the photo, .* drawn/).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Keep these points' }).click();
    await dialog.waitFor({ state: 'detached' });
    await awaitSaved(page);
    const kept = (await archivedJob(station, job.id)).sides[0]!.photo!;
    expect(kept.rectangle).toMatchObject({ widthMm: 1000, heightMm: 2000, at: { xMm: 500, yMm: 100 } });
    expect(kept.lengths).toMatchObject([{ of: 'width' }]);
  });

  it('is refused with a sentence where it is none', async () => {
    await shared.openNewJob();
    const { page } = shared;
    await page.locator('.panel').first().click();
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    const heic = Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1');
    await page
      .getByLabel('Photo of the side')
      .setInputFiles({ name: 'phone.heic', mimeType: 'image/heic', buffer: heic });
    await page.getByText('phone.heic is a HEIC photo').first().waitFor();
    await page.getByRole('button', { name: 'Select a photo…' }).waitFor();
  });
});
