import type { Job } from '../../../core/job/schema.ts';
import { MOST_INSTALL_DAYS } from '../../../core/job/schema.ts';
import type { Problem, Result } from '../../../core/measure/result.ts';
import { NumberField } from '../../parts/number-field.tsx';
import { editJob } from '../../state/open-job.ts';

interface InstallDayFieldProps {
  readonly label: string;
  readonly day: number;
  onDay(job: Job, day: number): Result<Job, Problem>;
}

/** On which day of the installation a side or a panel is installed. */
export const InstallDayField = ({ label, day, onDay }: InstallDayFieldProps) => (
  <NumberField
    label={label}
    value={day}
    onChange={(value) =>
      Number.isInteger(value) && value >= 1 && value <= MOST_INSTALL_DAYS
        ? editJob('Set the install day', (now) => onDay(now, value))?.message
        : `Count the days of the installation from 1 to ${MOST_INSTALL_DAYS}.`
    }
  />
);
