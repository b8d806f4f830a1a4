/** The fields of the plan's form. Each keeps what is typed until it is a number. */
import { useEffect, useState } from 'preact/hooks';
import { CONE_NAMES } from '../../protocol/cones.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { insideFigure, type Quantity, shownFigure, unitOf } from '../plan/quantity.ts';
import { figuresIn } from '../say.ts';
import { PLAN } from '../words.ts';

interface NumberProps {
  words: string;
  value: number | null;
  quantity: Quantity;
  unit: TemperatureUnit;
  /** Empty stands for null. */
  mayBeEmpty?: boolean;
  source?: string;
  /** Among others in a row: the unit stands with the words, where it takes no room from the figure. */
  inRow?: boolean;
  onChange(value: number | null): void;
  /** Whether what is typed is a number. */
  onSound(sound: boolean): void;
}

export function NumberField(props: NumberProps) {
  const { words, value, quantity, unit, mayBeEmpty = false, inRow = false } = props;
  const sign = unitOf(quantity, unit);
  const shown = value === null ? '' : shownFigure(value, quantity, unit);
  const [typed, setTyped] = useState(shown);
  const inside = insideFigure(typed, quantity, unit);
  const sound = inside !== null || (mayBeEmpty && typed.trim() === '');
  // A figure that was changed from elsewhere is shown; one's own typing ('12.') is left as it is.
  useEffect(() => {
    const typedShown = inside === null ? typed.trim() : shownFigure(inside, quantity, unit);
    if (typedShown === shown) return;
    setTyped(shown);
    props.onSound(true);
  }, [shown]);
  // What is not there any more wants nothing.
  useEffect(() => () => props.onSound(true), []);
  const take = (text: string) => {
    setTyped(text);
    const next = insideFigure(text, quantity, unit);
    const empty = mayBeEmpty && text.trim() === '';
    props.onSound(next !== null || empty);
    if (next !== null || empty) props.onChange(next);
  };
  return (
    <div class="plan-field">
      <label class="field">
        <span>{inRow ? `${words}, ${sign}` : words}</span>
        <span class="with-unit">
          <input
            type="text"
            inputMode="decimal"
            autocomplete="off"
            value={typed}
            aria-invalid={!sound}
            onInput={(event) => take(event.currentTarget.value)}
          />
          {!inRow && <span class="unit">{sign}</span>}
        </span>
      </label>
      {!sound && <p class="field-wrong">{PLAN.notANumber}</p>}
      {props.source && <p class="plan-source">{figuresIn(props.source, unit)}</p>}
    </div>
  );
}

interface TextProps {
  words: string;
  value: string;
  onChange(value: string): void;
}

export function TextField({ words, value, onChange }: TextProps) {
  return (
    <label class="field">
      <span>{words}</span>
      <input
        type="text"
        maxLength={40}
        autocomplete="off"
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  );
}

interface ConeProps {
  words: string;
  value: string | null;
  source?: string;
  /** Given: no cone at all can be chosen, by these words. */
  none?: string;
  onChange(cone: string | null): void;
}

export function ConeField({ words, value, none, source, onChange }: ConeProps) {
  const names: readonly string[] = CONE_NAMES;
  const cones = value === null || names.includes(value) ? names : [...names, value];
  return (
    <div class="plan-field">
      <label class="field">
        <span>{words}</span>
        <select
          value={value ?? ''}
          onChange={({ currentTarget }) => onChange(currentTarget.value === '' ? null : currentTarget.value)}
        >
          {none !== undefined && <option value="">{none}</option>}
          {cones.map((cone) => (
            <option key={cone} value={cone}>
              {cone}
            </option>
          ))}
        </select>
      </label>
      {source && <p class="plan-source">{source}</p>}
    </div>
  );
}

/** One figure of a row. */
interface RowField<Row> {
  key: keyof Row & string;
  words: string;
  quantity: Quantity;
}

interface RowsProps<Row> {
  title: string;
  source?: string;
  unit: TemperatureUnit;
  rows: readonly Row[];
  fields: readonly RowField<Row>[];
  /** The row that is added: usually the last one again. */
  fresh: Row;
  onChange(rows: Row[]): void;
  onSound(field: string, sound: boolean): void;
}

/** A list of rows of figures, none of which may be empty: each can be changed or taken away, and one added. */
export function Rows<Row extends Record<string, number>>(props: RowsProps<Row>) {
  const { title, source, unit, rows, fields, fresh, onChange, onSound } = props;
  return (
    <fieldset class="plan-rows">
      <legend>{title}</legend>
      {rows.map((row, index) => (
        <div key={index} class="plan-row">
          {fields.map(({ key, words, quantity }) => (
            <NumberField
              key={key}
              inRow
              words={words}
              value={row[key] ?? null}
              quantity={quantity}
              unit={unit}
              onSound={(sound) => onSound(`${index}.${key}`, sound)}
              onChange={(value) =>
                value !== null &&
                onChange(rows.map((one, at) => (at === index ? { ...one, [key]: value } : one)))
              }
            />
          ))}
          <button
            type="button"
            class="press row-away"
            aria-label={PLAN.takeRowAway}
            onClick={() => onChange(rows.filter((_, at) => at !== index))}
          >
            ×
          </button>
        </div>
      ))}
      <button type="button" class="press choice" onClick={() => onChange([...rows, rows.at(-1) ?? fresh])}>
        {PLAN.addRow}
      </button>
      {source && <p class="plan-source">{figuresIn(source, unit)}</p>}
    </fieldset>
  );
}
