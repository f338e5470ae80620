// Holds results against docs/result.schema.json with an independent validator (ajv, JSON Schema 2020-12).
// usage: node validate_schema.mjs SCHEMA FOLDER
// For every result in the folder: it is valid; no key is written that the schema does not describe; and
// with any one promised key taken away it is no longer valid (so the schema does hold the promise).
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import Ajv2020 from 'ajv/dist/2020.js';

const [schemaFile, folder] = process.argv.slice(2);
const schema = JSON.parse(readFileSync(schemaFile, 'utf8'));
const ajv = new Ajv2020({ allErrors: false, strict: true, allowUnionTypes: true });
const valid = ajv.compile(schema);

// The same schema with every object closed.
const close = (key, value) => (key === 'additionalProperties' ? false : value);
const closed = JSON.parse(JSON.stringify(schema), close);
const complete = ajv.compile(closed);

// The places of `required` lists that a result reaches: walks schema and value together.
function* promisedKeys(part, value) {
  const rule = part.$ref ? { ...schema.$defs[part.$ref.split('/').pop()] } : part;
  if (Array.isArray(value)) {
    if (value.length && rule.items) yield* promisedKeys(rule.items, value[0]);
  } else if (value && typeof value === 'object') {
    for (const key of rule.required ?? []) yield [value, key];
    for (const [key, child] of Object.entries(rule.properties ?? {}))
      if (key in value) yield* promisedKeys(child, value[key]);
  }
}

const failures = [];
const files = readdirSync(folder).filter((name) => name.endsWith('.json'));
let removed = 0;
for (const name of files) {
  const result = JSON.parse(readFileSync(join(folder, name), 'utf8'));
  if (!valid(result)) {
    failures.push(`${name}: ${ajv.errorsText(valid.errors)}`);
    continue;
  }
  if (!complete(result)) {
    const [first] = complete.errors;
    failures.push(`${name}: not in the schema: ${first.instancePath} ${JSON.stringify(first.params)}`);
  }
  if (result.grid.columns > 60) continue; // the promise is the same for large grids, only slow
  for (const [owner, key] of promisedKeys(schema, result)) {
    const kept = owner[key];
    delete owner[key];
    if (valid(result)) failures.push(`${name}: still valid without "${key}"`);
    owner[key] = kept;
    ++removed;
  }
}
if (files.length === 0) failures.push('no results to look at');
console.log(`${files.length} results, ${removed} keys taken away in turn`);
for (const failure of failures) console.error(failure);
process.exit(failures.length ? 1 : 0);
