/**
 * Takes out of Discord's own description of its HTTP API the shapes that the bot sends, and nothing else: the descriptive prose is left
 * behind, the licence comes along. Run once for each new edition of that description:
 *
 *     npx tsx tests/support/discord-schema.ts path/to/openapi.json path/to/LICENSE
 *
 * Source: public repository discord/discord-api-spec, specs/openapi.json, commit 74fda0fad044407ea280043a03ffc9bc64c4e49e, 2026-07-18.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const SOURCE = 'https://github.com/discord/discord-api-spec, commit 74fda0fad044407ea280043a03ffc9bc64c4e49e, 2026-07-18';

/** The request bodies of a bot: first answers (one shape for each type), later messages, the list of commands. */
const ROOTS = [
  'ApplicationCommandAutocompleteCallbackRequest',
  'CreateMessageInteractionCallbackRequest',
  'ModalInteractionCallbackRequest',
  'UpdateMessageInteractionCallbackRequest',
  'IncomingWebhookRequestPartial',
  'IncomingWebhookUpdateRequestPartial',
  'ApplicationCommandUpdateRequest',
];

type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** Drops titles and descriptions, but not properties that happen to be called so. */
function withoutProse(schema: Json, names = false): Json {
  if (Array.isArray(schema)) return schema.map((item) => withoutProse(item));
  if (schema === null || typeof schema !== 'object') return schema;
  return Object.fromEntries(
    Object.entries(schema)
      .filter(([key]) => names || !(key === 'title' || key === 'description' || key.startsWith('x-')))
      .map(([key, value]) => [key, withoutProse(value, !names && key === 'properties')]),
  );
}

function references(schema: Json): string[] {
  if (Array.isArray(schema)) return schema.flatMap(references);
  if (schema === null || typeof schema !== 'object') return [];
  return Object.entries(schema).flatMap(([key, value]) =>
    key === '$ref' && typeof value === 'string' ? [value.replace('#/components/schemas/', '')] : references(value),
  );
}

function main([specification, licence]: readonly string[]): void {
  if (!specification || !licence) throw new Error('Give the description and its licence: discord-schema.ts openapi.json LICENSE');
  const { openapi, components } = JSON.parse(readFileSync(specification, 'utf8')) as {
    openapi: string;
    components: { schemas: { [name: string]: Json } };
  };
  const taken = new Map<string, Json>();
  const take = (name: string): void => {
    if (taken.has(name)) return;
    const schema = components.schemas[name];
    if (schema === undefined) throw new Error(`${name} is not in ${specification}`);
    const bare = withoutProse(schema);
    taken.set(name, bare);
    references(bare).forEach(take);
  };
  ROOTS.forEach(take);
  const file = {
    source: SOURCE,
    openapi,
    licence: readFileSync(licence, 'utf8').trim().split('\n'),
    components: { schemas: Object.fromEntries([...taken].sort(([a], [b]) => (a < b ? -1 : 1))) },
  };
  writeFileSync(fileURLToPath(new URL('../fixtures/discord-schemas.json', import.meta.url)), `${JSON.stringify(file, null, 1)}\n`);
  console.info(`${taken.size} shapes taken`);
}

main(process.argv.slice(2));
