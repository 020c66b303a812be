/** Why an output is not released: every fault and note with its remedy, and a picture of each panel that looks otherwise. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import { toneText } from '../../core/verify/verification-fault.ts';
import { ask } from '../client/client.ts';
import { Picture } from './picture.tsx';

type Report = NonNullable<ContractReply<'output:verification'>>;

interface VerificationFaultsProps {
  readonly outputId: number;
  /** Shown until the report is there, and where there is none. */
  readonly sentences: readonly string[];
}

export function VerificationFaults({ outputId, sentences }: VerificationFaultsProps) {
  const [report, setReport] = useState<Report | null>(null);
  useEffect(() => {
    let isLeft = false;
    void ask('output:verification', { outputId }).then((answer) => {
      if (!isLeft && answer.ok) setReport(answer.value);
    });
    return () => {
      isLeft = true;
    };
  }, [outputId]);

  if (!report) return sentences.map((sentence) => <p key={sentence}>{sentence}</p>);
  return (
    <>
      <ul class="verification-faults">
        {[...report.faults, ...report.notes].map(({ message, remedy }) => (
          <li key={message}>
            {message} <span class="remedy">{remedy}</span>
          </li>
        ))}
      </ul>
      <div class="verification-differences">
        {differingPanels(report).map(({ label, picture }) => (
          <DifferencePicture key={label} outputId={outputId} label={label} text={differenceText(picture)} />
        ))}
      </div>
    </>
  );
}

const differingPanels = ({ sides }: Report) =>
  sides.flatMap(({ panels }) => panels).filter((panel) => panel.differencePictureSha256 !== undefined);

function differenceText(picture: Report['sides'][number]['panels'][number]['picture']): string {
  if (!picture) return '';
  const percent = picture.differingShare * 100;
  const share = percent > 0 && percent < 0.01 ? 'less than 0.01' : percent.toFixed(2);
  return `${share} % of its pixels differ, by up to ${toneText(picture.largest)} of full tone`;
}

interface DifferencePictureProps {
  readonly outputId: number;
  readonly label: string;
  readonly text: string;
}

function DifferencePicture({ outputId, label, text }: DifferencePictureProps) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  useEffect(() => {
    let isLeft = false;
    void ask('output:difference', { outputId, panelLabel: label }).then((answer) => {
      if (!isLeft) setPicture(answer.ok ? answer.value : null);
    });
    return () => {
      isLeft = true;
    };
  }, [outputId, label]);
  return (
    <figure>
      <Picture
        picture={picture}
        label={`Panel ${label} in gray, with what differs from the artwork in red`}
        className="difference-picture"
      />
      <figcaption>
        <strong>{label}</strong>: what differs from the artwork, in red. {text}
      </figcaption>
    </figure>
  );
}
