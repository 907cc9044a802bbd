/**
 * What Discord refuses: its own API description, and the rules that this description does not hold.
 *
 * Source of the shapes: tests/fixtures/discord-schemas.json (origin and licence stand in that file).
 * Source of the other rules: Discord's developer documentation, pages "Application Commands", "Receiving and Responding" (interactions),
 * "Webhook", "Message" and "Component Reference", 2026-08.
 * Stricter than Discord in one point: an unknown property is refused, where Discord lets it pass, because it is always a slip of ours.
 */
import { readFileSync } from 'node:fs';
import { Ajv2020, type AnySchemaObject, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';

export interface Refusal {
  /** JSON pointer into the body. */
  readonly at: string;
  readonly why: string;
}

export interface SentFile {
  readonly filename: string;
  readonly contentType: string;
  readonly bytes: Uint8Array;
}

export type Body = { readonly [key: string]: unknown };
export type Asking = 'command' | 'autocomplete' | 'button' | 'form';

export const FLAG = { suppressEmbeds: 1 << 2, ephemeral: 1 << 6, loading: 1 << 7, quiet: 1 << 12, componentsV2: 1 << 15 } as const;

/** Attachment ids of Discord are snowflakes; a shorter one points at a file of the same request. */
export const POINTS_AT_FILE = /^\d{1,2}$/;
export const FILE_LIMIT = 10 * 1024 * 1024;

// ---- the shapes ------------------------------------------------------------------------------------------------------------------

const CALLBACKS: { readonly [type: number]: string } = {
  4: 'CreateMessageInteractionCallbackRequest',
  5: 'CreateMessageInteractionCallbackRequest',
  6: 'UpdateMessageInteractionCallbackRequest',
  7: 'UpdateMessageInteractionCallbackRequest',
  8: 'ApplicationCommandAutocompleteCallbackRequest',
  9: 'ModalInteractionCallbackRequest',
};

type Shapes = { readonly [name: string]: { readonly properties?: { readonly type?: { readonly enum?: readonly number[] } } } };

/**
 * Objects that list their properties allow no others; a union of shapes that differ in `type` is decided by `type`, so that a refusal
 * speaks of the shape that was meant.
 */
function sharpened(schema: unknown, shapes: Shapes): unknown {
  if (Array.isArray(schema)) return schema.map((item) => sharpened(item, shapes));
  if (schema === null || typeof schema !== 'object') return schema;
  const copy: { [key: string]: unknown } = Object.fromEntries(
    Object.entries(schema).map(([key, value]) => [key, sharpened(value, shapes)]),
  );
  if ('properties' in copy && copy.type === 'object' && !('additionalProperties' in copy)) copy.additionalProperties = false;
  const branches = list(copy.oneOf).map((branch) => ({
    branch,
    tag: shapes[text(branch.$ref).replace('#/components/schemas/', '')]?.properties?.type,
  }));
  if (branches.length > 1 && branches.every(({ tag }) => tag?.enum)) {
    delete copy.oneOf;
    Object.assign(copy, {
      type: 'object',
      required: ['type'],
      properties: { type: { enum: branches.flatMap(({ tag }) => tag?.enum ?? []) } },
      allOf: branches.map(({ branch, tag }) => ({
        if: { required: ['type'], properties: { type: { enum: tag?.enum } } },
        // biome-ignore lint/suspicious/noThenProperty: a word of JSON Schema
        then: branch,
      })),
    });
  }
  return copy;
}

let ajv: Ajv2020 | undefined;
function shape(name: string): ValidateFunction {
  if (!ajv) {
    const fixture = JSON.parse(readFileSync(new URL('../../fixtures/discord-schemas.json', import.meta.url), 'utf8'));
    ajv = new Ajv2020({ strict: false, allErrors: true });
    // ajv-formats is a CommonJS package: under Node's rules its default export arrives one level down.
    addFormats.default(ajv);
    ajv.addFormat('snowflake', true).addFormat('nonce', true);
    ajv.addSchema({ ...(sharpened(fixture, fixture.components.schemas) as AnySchemaObject), $id: 'discord' });
  }
  const validate = ajv.getSchema(`discord#/components/schemas/${name}`);
  if (!validate) throw new Error(`The fixture has no shape ${name}`);
  return validate;
}

/** Where `null` would do as well, that it is not null is no news, nor is it that a union as a whole does not fit. */
function telling(errors: readonly ErrorObject[]): readonly ErrorObject[] {
  const kept = errors.filter(
    ({ keyword, params }) => !['oneOf', 'anyOf', 'if'].includes(keyword) && !(keyword === 'type' && params.type === 'null'),
  );
  return kept.length > 0 ? kept : errors;
}

function misshapen(name: string, body: unknown, at = ''): Refusal[] {
  const validate = shape(name);
  if (validate(body)) return [];
  return telling(validate.errors ?? []).map((error) => ({
    at: at + error.instancePath,
    why: [error.message, error.params.additionalProperty, error.params.missingProperty].filter(Boolean).join(': '),
  }));
}

// ---- small readers ---------------------------------------------------------------------------------------------------------------

const list = (value: unknown): readonly Body[] => (Array.isArray(value) ? (value as Body[]) : []);
const text = (value: unknown): string => (typeof value === 'string' ? value : '');
const count = (value: string): number => [...value].length;
const isBody = (value: unknown): value is Body => typeof value === 'object' && value !== null && !Array.isArray(value);

function repeated(names: readonly string[]): readonly string[] {
  return [...new Set(names.filter((name, i) => names.indexOf(name) !== i))];
}

// ---- commands --------------------------------------------------------------------------------------------------------------------

const NAME = /^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u;
const SUBCOMMAND = 1;
const SUBCOMMAND_GROUP = 2;
const PER_SCOPE: { readonly [type: number]: number } = { 1: 100, 2: 15, 3: 15 };

function badName(at: string, name: unknown): Refusal[] {
  if (!NAME.test(text(name))) return [{ at: `${at}/name`, why: `the name "${text(name)}" breaks the rule for names` }];
  if (text(name) !== text(name).toLowerCase()) return [{ at: `${at}/name`, why: `the name "${text(name)}" is not in lower case` }];
  return [];
}

function badOptions(at: string, options: readonly Body[], depth: number): Refusal[] {
  const refusals: Refusal[] = [];
  for (const name of repeated(options.map((option) => text(option.name)))) refusals.push({ at, why: `two options are called "${name}"` });
  let optional = false;
  for (const [i, option] of options.entries()) {
    const here = `${at}/${i}`;
    refusals.push(...badName(here, option.name));
    if (text(option.description).trim() === '') refusals.push({ at: `${here}/description`, why: 'a description is required' });
    if (option.required === true && optional) refusals.push({ at: here, why: 'a required option stands after an optional one' });
    if (option.required !== true) optional = true;
    const choices = list(option.choices);
    if (option.autocomplete === true && choices.length > 0) refusals.push({ at: here, why: 'choices and autocomplete exclude each other' });
    for (const name of repeated(choices.map((choice) => text(choice.name))))
      refusals.push({ at: `${here}/choices`, why: `two choices are called "${name}"` });
    for (const [c, choice] of choices.entries())
      if (count(text(choice.value)) > 100)
        refusals.push({ at: `${here}/choices/${c}/value`, why: 'a choice has more than 100 characters' });
    if (option.type === SUBCOMMAND || option.type === SUBCOMMAND_GROUP) {
      const deepest = option.type === SUBCOMMAND ? 1 : 0;
      if (depth > deepest) refusals.push({ at: here, why: 'subcommands are nested too deep' });
      refusals.push(...badOptions(`${here}/options`, list(option.options), depth + 1));
    }
  }
  const nested = options.filter((option) => option.type === SUBCOMMAND || option.type === SUBCOMMAND_GROUP).length;
  if (nested > 0 && nested < options.length) refusals.push({ at, why: 'subcommands and plain options are mixed' });
  return refusals;
}

/** Names, descriptions and values of a command and of all that it holds. */
function characters(part: Body): number {
  const own = count(text(part.name)) + count(text(part.description)) + count(text(part.value));
  return [...list(part.options), ...list(part.choices)].reduce((sum, inner) => sum + characters(inner), own);
}

export function refuseCommands(body: unknown): readonly Refusal[] {
  if (!Array.isArray(body)) return [{ at: '', why: 'a list of commands is required' }];
  const commands = body as readonly unknown[];
  const refusals: Refusal[] = [];
  const types = new Map<number, string[]>();
  for (const [i, command] of commands.entries()) {
    refusals.push(...misshapen('ApplicationCommandUpdateRequest', command, `/${i}`));
    if (!isBody(command)) continue;
    const type = typeof command.type === 'number' ? command.type : 1;
    types.set(type, [...(types.get(type) ?? []), text(command.name)]);
    if (type !== 1) continue;
    refusals.push(...badName(`/${i}`, command.name));
    if (text(command.description).trim() === '') refusals.push({ at: `/${i}/description`, why: 'a description is required' });
    refusals.push(...badOptions(`/${i}/options`, list(command.options), 0));
    if (characters(command) > 8000)
      refusals.push({ at: `/${i}`, why: `the command has ${characters(command)} characters; 8000 are allowed` });
  }
  for (const [type, names] of types) {
    const most = PER_SCOPE[type] ?? 0;
    if (names.length > most) refusals.push({ at: '', why: `${names.length} commands of type ${type}; ${most} are allowed` });
    for (const name of repeated(names)) refusals.push({ at: '', why: `two commands are called "${name}"` });
  }
  return refusals;
}

// ---- messages --------------------------------------------------------------------------------------------------------------------

function badFiles(at: string, body: Body, files: ReadonlyMap<number, SentFile>): Refusal[] {
  const refusals: Refusal[] = [];
  for (const [i, attachment] of list(body.attachments).entries()) {
    const id = text(attachment.id);
    if (POINTS_AT_FILE.test(id) && !files.has(Number(id)))
      refusals.push({ at: `${at}/attachments/${i}`, why: `there is no file ${id} in this request` });
  }
  for (const [n, file] of files)
    if (file.bytes.byteLength > FILE_LIMIT) refusals.push({ at: `files[${n}]`, why: `the file has ${file.bytes.byteLength} bytes` });
  return refusals;
}

function badRows(at: string, body: Body, flags: number): Refusal[] {
  const refusals: Refusal[] = [];
  const components = list(body.components);
  if (flags & FLAG.componentsV2) {
    if (text(body.content) !== '' || list(body.embeds).length > 0)
      refusals.push({ at, why: 'components V2 go without content and embeds' });
    return refusals;
  }
  if (components.length > 5) refusals.push({ at: `${at}/components`, why: 'more than 5 rows' });
  if (components.some((row) => row.type !== 1)) refusals.push({ at: `${at}/components`, why: 'only rows stand at the top' });
  const inner = components.flatMap((row) => list(row.components));
  for (const row of components)
    if (list(row.components).length > 1 && list(row.components).some((part) => part.type !== 2))
      refusals.push({ at: `${at}/components`, why: 'a select stands alone in its row' });
  for (const id of repeated(inner.map((part) => text(part.custom_id)).filter(Boolean)))
    refusals.push({ at: `${at}/components`, why: `two components have the custom_id "${id}"` });
  return refusals;
}

function isEmpty(body: Body, files: ReadonlyMap<number, SentFile>): boolean {
  const parts = ['embeds', 'components', 'attachments', 'sticker_ids'];
  return text(body.content).trim() === '' && files.size === 0 && !body.poll && parts.every((part) => list(body[part]).length === 0);
}

function badMessage(at: string, body: Body, files: ReadonlyMap<number, SentFile>, allowedFlags: number): Refusal[] {
  const flags = typeof body.flags === 'number' ? body.flags : 0;
  const refusals = [...badFiles(at, body, files), ...badRows(at, body, flags)];
  if (flags & ~allowedFlags) refusals.push({ at: `${at}/flags`, why: `the flags ${flags & ~allowedFlags} cannot be set here` });
  return refusals;
}

const NEW_MESSAGE_FLAGS = FLAG.suppressEmbeds | FLAG.ephemeral | FLAG.quiet | FLAG.componentsV2;

/** The body of a follow-up message. */
export function refuseFollowUp(body: Body, files: ReadonlyMap<number, SentFile>): readonly Refusal[] {
  const refusals = [...misshapen('IncomingWebhookRequestPartial', body), ...badMessage('', body, files, NEW_MESSAGE_FLAGS)];
  if (isEmpty(body, files)) refusals.push({ at: '', why: 'Cannot send an empty message' });
  return refusals;
}

/** The body of an edit; `before` is the message as it stands, whose parts stay where the edit does not name them. */
export function refuseEdit(body: Body, files: ReadonlyMap<number, SentFile>, before: Body): readonly Refusal[] {
  const refusals = [
    ...misshapen('IncomingWebhookUpdateRequestPartial', body),
    ...badMessage('', body, files, FLAG.suppressEmbeds | FLAG.componentsV2),
  ];
  if (isEmpty({ ...before, ...body }, files)) refusals.push({ at: '', why: 'Cannot send an empty message' });
  return refusals;
}

function badForm(data: Body): Refusal[] {
  const refusals: Refusal[] = [];
  const components = list(data.components);
  if (components.length > 5) refusals.push({ at: '/data/components', why: 'more than 5 components in a form' });
  const inputs = components.flatMap((part) => (isBody(part.component) ? [part.component] : list(part.components)));
  for (const id of repeated(inputs.map((input) => text(input.custom_id))))
    refusals.push({ at: '/data/components', why: `two inputs have the custom_id "${id}"` });
  for (const input of inputs)
    if (count(text(input.label)) > 45) refusals.push({ at: '/data/components', why: 'a label has more than 45 characters' });
  return refusals;
}

/** The first answer to an interaction. */
export function refuseCallback(body: unknown, files: ReadonlyMap<number, SentFile>, asking: Asking): readonly Refusal[] {
  const type = isBody(body) ? body.type : undefined;
  const name = typeof type === 'number' ? CALLBACKS[type] : undefined;
  if (!isBody(body) || typeof type !== 'number' || !name) return [{ at: '/type', why: 'no such type of answer' }];
  const refusals = misshapen(name, body);
  const data = isBody(body.data) ? body.data : {};
  const flags = typeof data.flags === 'number' ? data.flags : 0;
  const fits =
    asking === 'autocomplete'
      ? [8]
      : asking === 'command'
        ? [4, 5, 9]
        : asking === 'form'
          ? [4, 5, 6, 7] // a form cannot be answered with another form
          : [4, 5, 6, 7, 9];
  if (!fits.includes(type)) refusals.push({ at: '/type', why: `an answer of type ${type} does not fit here (${asking})` });
  if (type === 4) {
    refusals.push(...badMessage('/data', data, files, NEW_MESSAGE_FLAGS));
    if (isEmpty(data, files)) refusals.push({ at: '/data', why: 'Cannot send an empty message' });
  }
  if (type === 5) {
    if (flags & ~FLAG.ephemeral) refusals.push({ at: '/data/flags', why: 'a deferral knows no other flag than private' });
    if (!isEmpty(data, files)) refusals.push({ at: '/data', why: 'a deferral carries no message: what it holds is lost' });
  }
  if (type === 7) refusals.push(...badMessage('/data', data, files, FLAG.suppressEmbeds | FLAG.componentsV2));
  if (type === 8)
    for (const [i, choice] of list(data.choices).entries()) {
      if (typeof choice.value !== 'string')
        refusals.push({ at: `/data/choices/${i}`, why: 'a suggestion for a text option has to be a text' });
      if (count(text(choice.value)) > 100 || text(choice.value) === '')
        refusals.push({ at: `/data/choices/${i}/value`, why: 'a suggestion has 1 to 100 characters' });
    }
  if (type === 9) refusals.push(...badForm(data));
  return refusals;
}
