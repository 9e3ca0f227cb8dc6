import sunlight from '../../data/astm_g173.csv';
import observer from '../../data/cie_1931_2deg_1nm.csv';
import cieA from '../../data/cie_a.csv';
import cieD65 from '../../data/cie_d65.csv';
import darkLines from '../../data/dark_lines.csv';
import lampLines from '../../data/lamp_lines.csv';

/** The tables of this folder as they stand, by file: for a program that is sent elsewhere and brings none of its own. */
export const tables: Readonly<Record<string, string>> = {
  'astm_g173.csv': sunlight,
  'cie_1931_2deg_1nm.csv': observer,
  'cie_a.csv': cieA,
  'cie_d65.csv': cieD65,
  'dark_lines.csv': darkLines,
  'lamp_lines.csv': lampLines,
};
