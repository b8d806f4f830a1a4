/** What each column of a file is, and a mapping with it changed. Pure. */
import type { Mapping } from '../../protocol/imports.ts';

export type Role = 'unused' | 'time' | 'heat';

const timeColumns = ({ time }: Mapping) => (time.kind === 'clock' ? time.columns : [time.column]);

export function roleOf(mapping: Mapping, column: number): Role {
  if (timeColumns(mapping).includes(column)) return 'time';
  return mapping.probes.some((probe) => probe.column === column) ? 'heat' : 'unused';
}

/** A name that no other probe has. */
function freeName({ probes }: Mapping, column: number): string {
  const taken = new Set(probes.map(({ name }) => name));
  for (let n = column + 1; ; n += 1) if (!taken.has(`probe-${n}`)) return `probe-${n}`;
}

/**
 * The column in its new role. A second column of time is the time of day beside the date; a third takes the place of both.
 * The last column of time keeps its role until another one has it.
 */
export function withRole(mapping: Mapping, column: number, role: Role): Mapping {
  if (roleOf(mapping, column) === role) return mapping;
  const probes = mapping.probes.filter((probe) => probe.column !== column);
  if (role === 'heat') {
    const freed = withoutTime(mapping, column);
    return { ...freed, probes: [...probes, { column, name: freeName(mapping, column), couple: null }] };
  }
  if (role === 'unused') return { ...withoutTime(mapping, column), probes };
  const { time } = mapping;
  const { kind } = time;
  if (kind !== 'clock') return { ...mapping, probes, time: { ...time, column } };
  const columns = time.columns.length === 1 ? [...time.columns, column].sort((a, b) => a - b) : [column];
  return { ...mapping, probes, time: { ...time, columns } };
}

function withoutTime(mapping: Mapping, column: number): Mapping {
  const { time } = mapping;
  if (time.kind !== 'clock' || time.columns.length < 2) return mapping;
  const columns = time.columns.filter((one) => one !== column);
  return columns.length === 0 ? mapping : { ...mapping, time: { ...time, columns } };
}

/** Times written in another way, on the same columns. */
export function withKind(
  mapping: Mapping,
  kind: Mapping['time']['kind'],
  start: string,
  zone: string,
): Mapping {
  const { time } = mapping;
  if (time.kind === kind) return mapping;
  const [column = 0] = timeColumns(mapping);
  if (kind === 'clock') return { ...mapping, time: { kind, columns: [column], order: 'ymd', zone } };
  if (kind === 'since') return { ...mapping, time: { kind, column, unit: 'min', start, zone } };
  return { ...mapping, time: { kind, column, unit: 's' } };
}
