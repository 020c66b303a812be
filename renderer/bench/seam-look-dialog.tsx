/** How a seam will look, at true size on this screen or as from a distance, with a panel slightly out of place. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { viewingDistance } from '../../core/checks/viewing-distance.ts';
import { areaPoints } from '../../core/job/area-shape.ts';
import { type Job, MOST_SEAM_OFF_MM } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import type { Seam } from '../../core/layout/panel.ts';
import { seamLook, seamWindow } from '../../core/layout/seam-look.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { lengthText, typedLengthText } from '../../core/measure/length-text.ts';
import { viewingDistanceText } from '../../core/measure/long-length.ts';
import { present } from '../../core/measure/present.ts';
import { finishedFromDrawn } from '../../core/measure/spaces.ts';
import type { Mm } from '../../core/measure/units.ts';
import { seamShiftOf } from '../../core/sheets/seam-sheet.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { painterOf } from '../parts/elements.ts';
import { Field } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { changeSettings, settings } from '../state/settings.ts';

interface SeamLookDialogProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly seam: Seam;
  onClose(): void;
}

/** Of the picture, in CSS pixels. */
const SIZE = { width: 640, height: 340 };
/** From the eyes to a screen; common practice, no source. */
const SCREEN_MM: Mm = 600;
/** ISO/IEC 7810, ID-1: the width of a bank card. */
const CARD_MM: Mm = 85.6;
/** CSS: 96 pixels to the inch, which few screens keep. */
const USUAL_PX_PER_MM = 96 / 25.4;
const DRAW_AFTER_MS = 120;

export function SeamLookDialog({ job, layout, seam, onClose }: SeamLookDialogProps) {
  const unit = job.displayUnit;
  const [along, setAlong] = useState((seam.span.start + seam.span.end) / 2);
  const [shift, setShift] = useState(() => seamShiftOf(job));
  const [isFar, setFar] = useState(false);
  const distance = viewingDistance(layout.side);
  const pxPerMm = (settings.value.cardPx ?? CARD_MM * USUAL_PX_PER_MM) / CARD_MM;
  const smaller = isFar ? distance / SCREEN_MM : 1;
  const size = {
    width: (SIZE.width / pxPerMm) * smaller,
    height: (SIZE.height / pxPerMm) * smaller,
  };
  const { canvas, problem } = useLook(job, layout, seam, seamWindow(seam, along, size), shift);
  const shown = (mm: Mm) => (unit === 'mm' ? lengthText(mm, 'mm') : typedLengthText(mm, 'in'));
  const slider = (
    label: string,
    value: Mm,
    [min, max, step]: readonly [Mm, Mm, Mm],
    onChange: (mm: Mm) => void,
  ) => (
    <Field label={label}>
      {(ids) => (
        <span class="slider-line">
          <input
            type="range"
            min={min}
            max={max}
            step={step}
            value={value}
            aria-valuetext={shown(value)}
            onInput={(event) => onChange(event.currentTarget.valueAsNumber)}
            {...ids}
          />
          <output>{shown(value)}</output>
        </span>
      )}
    </Field>
  );
  const where = `${shown(along - seam.span.start)} along the ${seam.direction} seam of ${layout.side.code}`;
  return (
    <Dialog title="How the seam will look" isLarge onClose={onClose}>
      <div class="form">
        <canvas
          ref={canvas}
          class="seam-look"
          role="img"
          aria-label={`The artwork at ${where}, as installed`}
          width={SIZE.width * 2}
          height={SIZE.height * 2}
          style={{ width: `${SIZE.width}px`, height: `${SIZE.height}px` }}
        />
        <p role="status" class="quiet">
          {problem ??
            (isFar
              ? `As from ${viewingDistanceText(distance, unit)}, seen from ${viewingDistanceText(SCREEN_MM, unit)} in front of this screen.`
              : `At 1:1: ${shown(size.width)} across.`)}{' '}
          {settings.value.cardPx === undefined
            ? 'This screen was not matched yet, so sizes on it are a guess.'
            : 'This screen was matched by a card.'}
        </p>
        {slider('Place along the seam', along, [seam.span.start, seam.span.end, 1], setAlong)}
        {slider(
          seam.joint === 'lap' ? 'Top panel off across the seam' : 'Panels farther apart than planned',
          shift.apartMm,
          [-MOST_SEAM_OFF_MM, MOST_SEAM_OFF_MM, 0.1],
          (apartMm) => setShift({ ...shift, apartMm }),
        )}
        {slider('Off along the seam', shift.alongMm, [-MOST_SEAM_OFF_MM, MOST_SEAM_OFF_MM, 0.1], (alongMm) =>
          setShift({ ...shift, alongMm }),
        )}
        <SelectField<'near' | 'far'>
          label="Seen"
          value={isFar ? 'far' : 'near'}
          options={[
            { value: 'near', label: 'At 1:1' },
            { value: 'far', label: `As from ${viewingDistanceText(distance, unit)}` },
          ]}
          onChange={(seen) => setFar(seen === 'far')}
        />
        <Calibration unit={unit} />
        {seam.joint !== 'lap' && (
          <p class="quiet">
            Gray is what shows of the vehicle between the panels; its color is not known here.
          </p>
        )}
        <div class="dialog-actions">
          <Button onClick={onClose}>Close</Button>
        </div>
      </div>
    </Dialog>
  );
}

/** A bar to make as wide as a card held against the screen. */
function Calibration({ unit }: { readonly unit: Job['displayUnit'] }) {
  const px = settings.value.cardPx ?? CARD_MM * USUAL_PX_PER_MM;
  const width = unit === 'mm' ? '85.60 mm' : '3.370 in';
  return (
    <details>
      <summary>Match this screen to true size</summary>
      <p>
        Hold a bank card (ISO/IEC 7810 ID-1, {width} wide) to the bar, and drag until both are equally wide.
      </p>
      <div class="card-bar" style={{ width: `${px}px` }} aria-hidden="true" />
      <Field label="Width of the bar">
        {(ids) => (
          <input
            type="range"
            min={150}
            max={900}
            step={1}
            value={px}
            aria-valuetext={`${Math.round(px)} pixels`}
            onInput={(event) => changeSettings({ cardPx: event.currentTarget.valueAsNumber })}
            {...ids}
          />
        )}
      </Field>
    </details>
  );
}

/** Draws the seam into a canvas shortly after the last change, and cancels an earlier request. */
function useLook(
  job: Job,
  { side }: SideLayout,
  seam: Seam,
  window: ReturnType<typeof seamWindow>,
  { apartMm, alongMm }: { readonly apartMm: Mm; readonly alongMm: Mm },
) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [problem, setProblem] = useState<string>();
  const [source, setSource] = useState<{ readonly at: string; readonly pixels: ImageData }>();
  const { x, y, width, height } = window;
  const at = [x, y, width, height].join(' ');
  useEffect(() => {
    const { artwork } = job;
    if (!artwork || side.page === undefined) {
      setProblem('There is no artwork on this side yet.');
      return undefined;
    }
    const abort = new AbortController();
    const timer = setTimeout(async () => {
      const drawn = finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale).rectBack(window);
      const request = {
        reference: artwork,
        page: present(side.page, 'The page of a side that is drawn'),
        window: storedFromRect(drawn),
        widthPx: SIZE.width * 2,
      };
      const answer = await ask('artwork:picture', request, { signal: abort.signal });
      if (abort.signal.aborted) return;
      if (!answer.ok) return setProblem(answer.problem.message);
      const bitmap = await createImageBitmap(new Blob([new Uint8Array(answer.value.png)]));
      const sheet = new OffscreenCanvas(SIZE.width * 2, SIZE.height * 2);
      const pen = painterOf(sheet);
      pen.drawImage(bitmap, 0, 0, sheet.width, sheet.height);
      if (abort.signal.aborted) return;
      setProblem(undefined);
      setSource({ at, pixels: pen.getImageData(0, 0, sheet.width, sheet.height) });
    }, DRAW_AFTER_MS);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [at, job.artwork?.sha256]);
  useEffect(() => {
    if (source?.at !== at) return;
    const { width: widthPx, height: heightPx, data } = source.pixels;
    const bare = side.noFilmAreas.filter(({ windowFilm }) => !windowFilm).map(areaPoints);
    const picture = { widthPx, heightPx, pixels: data, channels: 4 } as const;
    const looked = seamLook(seam, picture, window, { apartMm, alongMm }, bare);
    canvas.current?.getContext('2d')?.putImageData(new ImageData(looked, widthPx, heightPx), 0, 0);
    if (canvas.current) canvas.current.dataset.drawn = `${apartMm} ${alongMm}`;
  }, [source, at, apartMm, alongMm]);
  return { canvas, problem };
}
