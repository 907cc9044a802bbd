import { openArchive } from '../../../worksheets/archive/archive.ts';
import { conformance } from './conformance.ts';
import { onPostgres } from './places.ts';

onPostgres((server) =>
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
  }),
);
