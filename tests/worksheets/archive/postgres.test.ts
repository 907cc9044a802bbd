import { afterAll, describe, it } from 'vitest';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { startPostgres } from '../../support/postgres.ts';
import { conformance } from './conformance.ts';

const server = await startPostgres();

if ('missing' in server) {
  describe.skip('an archive on PostgreSQL', () => {
    it(`is not tested: ${server.missing}`, () => {});
  });
} else {
  afterAll(() => server.end(), 60_000);
  conformance('PostgreSQL', async () => {
    const url = await server.room();
    return {
      open: (clock) => openArchive({ url, create: true, clock }),
      async raw(statement) {
        await server.run(url, statement);
      },
      async withoutTrigger(trigger, table) {
        await server.run(url, `drop trigger ${trigger} on ${table}`);
      },
      async end() {},
    };
  });
}
