/**
 * End-point temperatures of pyrometric cones in °C: the cone maker's published temperature-equivalent chart (the
 * Edward Orton Jr. Ceramic Foundation), read from a public copy. Heating rates of 15, 60 and 150 °C an hour over the
 * last 100 °C; null where the chart gives none.
 */
import type { ConeName } from '../../../protocol/cones.ts';

/** The heating rates of the chart's columns, in °C/h. */
export const CHART_RATES_C_PER_H = [15, 60, 150] as const;

/** End points in °C by cone, one at each of the rates. */
export type ConeChart = Readonly<Record<ConeName, readonly [number | null, number, number]>>;

/** The self-supporting columns. */
export const SELF_SUPPORTING_C: ConeChart = {
  '022': [null, 586, 590],
  '021': [null, 600, 617],
  '020': [null, 626, 638],
  '019': [656, 678, 695],
  '018': [686, 715, 734],
  '017': [705, 738, 763],
  '016': [742, 772, 796],
  '015': [750, 791, 818],
  '014': [757, 807, 838],
  '013': [807, 837, 861],
  '012': [843, 861, 882],
  '011': [857, 875, 894],
  '010': [891, 903, 915],
  '09': [907, 920, 930],
  '08': [922, 942, 956],
  '07': [962, 976, 987],
  '06': [981, 998, 1013],
  '05.5': [1004, 1015, 1025],
  '05': [1021, 1031, 1044],
  '04': [1046, 1063, 1077],
  '03': [1071, 1086, 1104],
  '02': [1078, 1102, 1122],
  '01': [1093, 1119, 1138],
  '1': [1109, 1137, 1154],
  '2': [1112, 1142, 1164],
  '3': [1115, 1152, 1170],
  '4': [1141, 1162, 1183],
  '5': [1159, 1186, 1207],
  '5.5': [1167, 1203, 1225],
  '6': [1185, 1222, 1243],
  '7': [1201, 1239, 1257],
  '8': [1211, 1249, 1271],
  '9': [1224, 1260, 1280],
  '10': [1251, 1285, 1305],
  '11': [1272, 1294, 1315],
  '12': [1285, 1306, 1326],
  '13': [1310, 1331, 1348],
  '14': [1351, 1365, 1384],
};
