import { bytesOf } from './file-beside';
import type { Profile } from './profile';
import { type CsvProfileOptions, csvProfile } from './profile-csv';

/**
 * A profile from a table that lies beside the notebook: readings of a scan, a spreadsheet saved as CSV. What is read and
 * how is told at `csvProfile`.
 *
 * @param file its name, such as `my-readings.csv`, or its bytes
 * @param options which columns, the unit, and from where on the detector is saturated
 * @returns positions in m, signal and uncertainty as they stand
 * @throws RangeError when there is no such file, or naming line and column of what is wrong in it
 * @example
 * setFilesBeside((name) => (name === 'scan.csv' ? new TextEncoder().encode('x / mm;signal\n-1,5;10\n0;20') : undefined));
 * readTable('scan.csv').x[0] // -0.0015
 */
export const readTable = (file: string | Uint8Array, options: CsvProfileOptions = {}): Profile =>
  csvProfile(bytesOf(file), options);
