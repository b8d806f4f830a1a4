import { expect, it, vi } from 'vitest';
import { lanAddresses, ownHostNames } from '../../collector/server/addresses.ts';

vi.mock('node:os', async (original) => ({
  ...(await original<typeof import('node:os')>()),
  networkInterfaces: () => {
    throw new Error('uv_interface_addresses returned Unknown system error 13');
  },
}));

it('where the system does not tell its network, the collector serves its own machine all the same', () => {
  expect(lanAddresses()).toEqual([]);
  for (const name of ['localhost', '127.0.0.1', '[::1]']) expect(ownHostNames()).toContain(name);
});
