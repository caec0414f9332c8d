import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  type LabelDocument, LABEL_FORMAT, type LabelSample, labelSampleCsv, SAMPLE_COLUMNS, sampleOfRows,
} from '../label/index.js';
import { InputError, type Study } from '../rack/index.js';
import {
  NoBrowser, PICTURE_FOLDER, printPage, reportHtml, ReportInputError, reportInput, reportMarkdown,
} from '../report/index.js';
import {
  LIBRARY_VERSION, makeResultFolder, readScenarioParquet, type Summary, SUMMARY_FORMAT, writeFileWhole,
} from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { checkFolder } from './resultFolder.js';

export interface ReportOptions {
  readonly study?: string;
  readonly label?: string;
  readonly replace: boolean;
}

/** Files that the command adds to a study's results; report.html is written anew. */
const REPORT_FILES = ['report.md', 'report.pdf', PICTURE_FOLDER] as const;

/** `slotcast report DIR`: the report of a finished study as HTML, Markdown with pictures and PDF. */
export async function reportCommand(folder: string, options: ReportOptions, screen: Screen): Promise<number> {
  const summary = readJson<Summary>(join(folder, 'summary.json'), SUMMARY_FORMAT, 'name a folder that `slotcast study` wrote');
  const study = studyOf(folder, summary, options.study, screen);
  const sample = await sampleIn(folder, study);
  checkFolder(folder, options.replace, REPORT_FILES);
  const label = labelOf(folder, options.label);
  if (summary.library.version !== LIBRARY_VERSION || summary.library.node !== process.version) {
    screen.err(`The study ran with slotcast ${summary.library.version} on Node.js ${summary.library.node}; the placements `
      + `are computed again with ${LIBRARY_VERSION} on ${process.version}.`);
  }
  const input = reportInput({ study, summary, sample, ...(label === null ? {} : { label }) });
  const page = join(folder, 'report.html');
  try {
    writeFileWhole(page, reportHtml(input));
  } catch (error) {
    if (!(error instanceof ReportInputError)) throw error;
    throw new InputError([{ file: folder, path: error.part, found: error.message, allowed: error.allowed }]);
  }
  const written = ['report.html', ...await printed(page, folder, screen)];
  const pictures = new Set(written.flatMap((name) => /^figures\/(.+)\.png$/.exec(name)?.[1] ?? []));
  writeFileWhole(join(folder, 'report.md'), [reportMarkdown(input, pictures)]);
  const files = ['report.html', 'report.md', ...(written.includes('report.pdf') ? ['report.pdf'] : []),
    ...(pictures.size > 0 ? [`${pictures.size} pictures in ${PICTURE_FOLDER}`] : [])];
  screen.out(`${files.join(', ')} are in ${folder}`);
  if (label === null) {
    screen.err('The report has no floor and no searched worst placement: `slotcast label` finds both; name its folder with '
      + '--label, or keep it beside the results under their name with “-label”.');
  }
  return EXIT.ok;
}

/** The study's sample from its scenario table, in whichever format that is there. */
async function sampleIn(folder: string, study: Study): Promise<LabelSample> {
  const parquet = join(folder, 'scenarios.parquet');
  const csv = join(folder, 'scenarios.csv');
  if (existsSync(csv) || !existsSync(parquet)) {
    return labelSampleCsv(readText(csv, 'the report needs the scenario table: run the study with --table csv or parquet'), study, csv);
  }
  let rows: Record<string, unknown>[];
  try {
    rows = await readScenarioParquet(parquet, SAMPLE_COLUMNS);
  } catch (error) {
    throw new InputError([{
      file: parquet, path: '', found: `it cannot be read (${error instanceof Error ? error.message : String(error)})`,
      allowed: 'give the scenarios.parquet that a study wrote',
    }]);
  }
  return sampleOfRows(rows, study, parquet);
}

/** Writes pictures and PDF where there is a browser, and says so where not. @returns names in the folder */
async function printed(page: string, folder: string, screen: Screen): Promise<string[]> {
  try {
    const { pdf, pictures } = await printPage(page);
    makeResultFolder(join(folder, PICTURE_FOLDER));
    for (const [id, png] of pictures) writeFileWhole(join(folder, PICTURE_FOLDER, `${id}.png`), [png]);
    writeFileWhole(join(folder, 'report.pdf'), [pdf]);
    return [...[...pictures.keys()].map((id) => `${PICTURE_FOLDER}/${id}.png`), 'report.pdf'];
  } catch (error) {
    if (!(error instanceof NoBrowser)) throw error;
    screen.err(`${error.message}. report.html and report.md are written without them.`);
    return [];
  }
}

/** The study of the results, with the seed and number that it ran with. */
function studyOf(folder: string, summary: Summary, named: string | undefined, screen: Screen): Study {
  const file = named ?? (summary.studyFile === null ? null : join(folder, summary.studyFile));
  if (file === null || !existsSync(file)) {
    throw new InputError([{
      file: '--study', path: '', found: file === null ? 'no study file named in summary.json' : `no file ${file}`,
      allowed: 'name the study file that these results come from',
    }]);
  }
  const { study, inputs } = openStudy(file, screen);
  const changed = summary.inputs.filter(({ sha256 }, i) => inputs[i]?.sha256 !== sha256).map(({ path }) => path);
  if (changed.length > 0 || inputs.length !== summary.inputs.length) {
    throw new InputError([{
      file, path: '', found: `input files that differ from those of the results: ${changed.join(', ') || 'more files than then'}`,
      allowed: 'give the files that the study ran with (hashes in summary.json), or run the study again',
    }]);
  }
  return { ...study, seed: summary.study.seed, scenarios: summary.study.scenariosPlanned };
}

/** The label decision named, or the one beside the results; null where there is none. */
function labelOf(folder: string, named: string | undefined): LabelDocument | null {
  const file = join(named ?? `${folder.replace(/[/\\]+$/, '')}-label`, 'label.json');
  if (named === undefined && !existsSync(file)) return null;
  return readJson<LabelDocument>(file, LABEL_FORMAT, 'name a folder that `slotcast label` wrote');
}

function readText(file: string, allowed: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    throw new InputError([{ file, path: '', found: `it cannot be read (${code ?? message})`, allowed }]);
  }
}

function readJson<Document extends { readonly format: string }>(file: string, format: string, allowed: string): Document {
  const text = readText(file, allowed);
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw new InputError([{ file, path: '', found: 'text that is not JSON', allowed }]);
  }
  const found = typeof json === 'object' && json !== null && 'format' in json ? String(json.format) : 'none';
  if (found !== format) throw new InputError([{ file, path: 'format', found, allowed: `${format}: ${allowed}` }]);
  return json as Document;
}
