/** What the columns of a file are, as found, to be put right. */
import {
  DATE_ORDERS,
  DELIMITERS,
  type Delimiter,
  type Looked,
  type Mapping,
  SINCE_UNITS,
} from '../../protocol/imports.ts';
import { COUPLE_TYPES } from '../../protocol/probes.ts';
import { type Role, roleOf, withKind, withRole } from '../import/roles.ts';
import { IMPORT } from '../words.ts';

interface Props {
  looked: Looked;
  mapping: Mapping;
  onChange(mapping: Mapping): void;
}

/** So many cells of a column are shown beside its role. */
const SHOWN_CELLS = 3;
const ROLES: readonly Role[] = ['unused', 'time', 'heat'];
const ROLE_WORDS: Record<Role, string> = { unused: IMPORT.notUsed, time: IMPORT.time, heat: IMPORT.heat };

/** What parts the columns, as guessed; with another one the file is looked at anew. */
export function DelimiterChoice({
  delimiter,
  onChange,
}: {
  delimiter: Delimiter;
  onChange(delimiter: Delimiter): void;
}) {
  return (
    <div class="plan-fields">
      <Select
        words={IMPORT.between}
        value={delimiter}
        options={pick(IMPORT.delimiters, DELIMITERS)}
        onChange={onChange}
      />
    </div>
  );
}

export function ImportColumns({ looked, mapping, onChange }: Props) {
  const { delimiter, decimal, skipRows } = mapping;
  return (
    <>
      <p class="quiet">{IMPORT.found(IMPORT.delimiters[delimiter], IMPORT.decimals[decimal], skipRows)}</p>
      <section class="plan-part">
        <h3>{IMPORT.columns}</h3>
        {looked.columns.map((name, column) => (
          <Column
            key={column}
            name={name}
            cells={looked.rows.slice(0, SHOWN_CELLS).map((row) => row[column] ?? '')}
            column={column}
            mapping={mapping}
            onChange={onChange}
          />
        ))}
        <p class="quiet">{IMPORT.probeHelp}</p>
      </section>
      <section class="plan-part">
        <h3>{IMPORT.times}</h3>
        <div class="plan-fields">
          <Times mapping={mapping} onChange={onChange} />
        </div>
      </section>
      <div class="plan-fields">
        <Select
          words={IMPORT.unit}
          value={mapping.unit}
          options={{ C: '°C', F: '°F' }}
          onChange={(unit) => onChange({ ...mapping, unit })}
        />
        <label class="field">
          <span>{IMPORT.name}</span>
          <input
            type="text"
            maxLength={80}
            value={mapping.name}
            onInput={(event) => onChange({ ...mapping, name: event.currentTarget.value })}
          />
        </label>
      </div>
    </>
  );
}

function Column({
  name,
  cells,
  column,
  mapping,
  onChange,
}: Omit<Props, 'looked'> & { name: string; cells: string[]; column: number }) {
  const role = roleOf(mapping, column);
  const probe = mapping.probes.find((one) => one.column === column);
  const change = (part: Partial<Mapping['probes'][number]>) =>
    onChange({
      ...mapping,
      probes: mapping.probes.map((one) => (one.column === column ? { ...one, ...part } : one)),
    });
  return (
    <div class="plan-fields import-column">
      <label class="field">
        <span>{IMPORT.column(name)}</span>
        <select
          value={role}
          onChange={(event) => {
            const next = ROLES.find((one) => one === event.currentTarget.value);
            if (next) onChange(withRole(mapping, column, next));
          }}
        >
          {ROLES.map((one) => (
            <option key={one} value={one}>
              {ROLE_WORDS[one]}
            </option>
          ))}
        </select>
        <span class="quiet">{cells.join(' · ')}</span>
      </label>
      {probe && (
        <>
          <label class="field">
            <span>{IMPORT.probeName}</span>
            <input
              type="text"
              maxLength={16}
              autocapitalize="none"
              value={probe.name}
              aria-invalid={!/^[a-z0-9-]{1,16}$/.test(probe.name)}
              onInput={(event) => change({ name: event.currentTarget.value })}
            />
          </label>
          <Select
            words={IMPORT.couple}
            value={probe.couple ?? ''}
            options={{
              '': IMPORT.coupleUnknown,
              ...Object.fromEntries(COUPLE_TYPES.map((one) => [one, one])),
            }}
            onChange={(couple) => change({ couple: COUPLE_TYPES.find((one) => one === couple) ?? null })}
          />
        </>
      )}
    </div>
  );
}

function Times({ mapping, onChange }: Omit<Props, 'looked'>) {
  const { time } = mapping;
  const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const put = (part: object) => onChange({ ...mapping, time: { ...time, ...part } });
  return (
    <>
      <Select
        words={IMPORT.writtenAs}
        value={time.kind}
        options={IMPORT.kinds}
        onChange={(kind) => onChange(withKind(mapping, kind, '2031-01-01T00:00', own))}
      />
      {time.kind === 'clock' && (
        <Select
          words={IMPORT.order}
          value={time.order}
          options={pick(IMPORT.orders, DATE_ORDERS)}
          onChange={(order) => put({ order })}
        />
      )}
      {time.kind === 'since' && (
        <>
          <Select
            words={IMPORT.since}
            value={time.unit}
            options={pick(IMPORT.sinceUnits, SINCE_UNITS)}
            onChange={(unit) => put({ unit })}
          />
          <label class="field">
            <span>{IMPORT.start}</span>
            <input
              type="datetime-local"
              value={time.start}
              onInput={(event) => {
                const { value } = event.currentTarget;
                if (value !== '') put({ start: value });
              }}
            />
          </label>
        </>
      )}
      {time.kind === 'epoch' ? (
        <Select
          words={IMPORT.since}
          value={time.unit}
          options={IMPORT.epochUnits}
          onChange={(unit) => put({ unit })}
        />
      ) : (
        <label class="field">
          <span>{IMPORT.zone}</span>
          <input
            type="text"
            list="time-zones"
            value={time.zone}
            onInput={(event) => put({ zone: event.currentTarget.value })}
          />
          <datalist id="time-zones">
            {Intl.supportedValuesOf('timeZone').map((zone) => (
              <option key={zone} value={zone} />
            ))}
          </datalist>
          <span class="quiet">{IMPORT.zoneHelp}</span>
        </label>
      )}
    </>
  );
}

/** The words of the values, in their order. */
function pick<Value extends string>(
  words: Readonly<Record<Value, string>>,
  values: readonly Value[],
): Record<string, string> {
  return Object.fromEntries(values.map((value) => [value, words[value]]));
}

function Select<Value extends string>({
  words,
  value,
  options,
  onChange,
}: {
  words: string;
  value: Value;
  options: Readonly<Record<string, string>>;
  onChange(value: Value): void;
}) {
  return (
    <label class="field">
      <span>{words}</span>
      <select value={value} onChange={(event) => onChange(event.currentTarget.value as Value)}>
        {Object.entries(options).map(([one, said]) => (
          <option key={one} value={one}>
            {said}
          </option>
        ))}
      </select>
    </label>
  );
}
