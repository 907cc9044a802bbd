import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { loadSqlite } from '../../../worksheets/archive/sqlite/driver.ts';
import { conformance } from './conformance.ts';

conformance('a SQLite file', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'archive-'));
  const file = join(folder, 'club.sqlite');
  const sqlite = await loadSqlite();
  const raw = async (statement: string): Promise<void> => {
    const database = sqlite.open(file, { readonly: false });
    try {
      database.exec('pragma foreign_keys = on');
      database.exec(statement);
    } finally {
      database.close();
    }
  };
  return {
    open: (clock) => openArchive({ file, create: true, clock }),
    raw,
    withoutTrigger: (trigger) => raw(`drop trigger ${trigger}`),
    async end() {
      rmSync(folder, { recursive: true, force: true });
    },
  };
});
