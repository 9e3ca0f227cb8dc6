import Ajv, { type ValidateFunction } from 'ajv-draft-04';
import schema from '../../data/nbformat.v4.5.schema.json';

let validator: ValidateFunction | undefined;

/** Compiled on first use: it costs some tens of milliseconds. */
function compiled(): ValidateFunction {
  validator ??= new Ajv({ allErrors: false, strict: false }).compile(schema);
  return validator;
}

/**
 * What makes `value` no nbformat 4.5 notebook, or undefined when it is one.
 *
 * @returns one phrase such as "cells/3: must have required property 'id'"
 */
export function notebookFault(value: unknown): string | undefined {
  const validate = compiled();
  if (validate(value)) return undefined;
  // With oneOf (a cell is code, markdown or raw) the first error is of the first branch tried; the deepest says most.
  const errors = validate.errors ?? [];
  const deepest = [...errors].sort((a, b) => b.instancePath.length - a.instancePath.length)[0];
  // Keys of the file stand in the path; one may be as long as the file.
  const place = deepest?.instancePath.slice(1, 100) || 'the notebook';
  return `${place}: ${deepest?.message ?? 'is not as nbformat 4.5 asks'}`;
}
