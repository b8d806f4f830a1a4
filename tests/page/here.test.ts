import { expect, it } from 'vitest';
import { kilnPath } from '../../dashboard/here.ts';

it.each([
  ['/', ''],
  ['/index.html', ''],
  ['/kiln/back/', '/kiln/back'],
  ['/kiln/back/index.html', '/kiln/back'],
])('the page at %s asks below %j', (pathname, path) => {
  expect(kilnPath(pathname)).toBe(path);
});
