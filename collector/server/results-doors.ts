/** What came out of a firing, read and written by the page. Who may come in is seen to before: `doors.ts`. */
import { join } from 'node:path';
import express, { type NextFunction, type Request, type Response, type Router } from 'express';
import { type Results, resultsSchema } from '../../protocol/results.ts';
import { readPlan } from '../archive/read.ts';
import { readResults, type Saved, saveResults, UnreadableResults } from '../archive/results.ts';

/** Results by the firing's folder name, in a data folder that holds it. */
export interface ResultsBook {
  read(id: string): Promise<Results>;
  save(id: string, results: Results): Promise<Saved>;
}

export function createResultsBook(dataFolder: string): ResultsBook {
  return {
    read: (id) => readResults(join(dataFolder, id)),
    save: async (id, results) => {
      const folder = join(dataFolder, id);
      return saveResults(folder, results, (await readPlan(folder))?.plan.name ?? id);
    },
  };
}

/** Whether this is the address of results, of whichever kiln: the one that may be written to. */
export function isResultsPath(path: string): boolean {
  return /^(?:\/kiln\/[^/]+)?\/api\/firings\/[^/]+\/results$/.test(path);
}

/** Some 600 rows with notes at every one of them. */
const MOST_BYTES = 1_000_000;
const CONFLICT =
  'Somebody else has changed the results meanwhile: both are laid together, look them through.';

/** `knows`: whether there is a firing of this name. */
export function addResultsDoors(
  site: Router,
  book: ResultsBook,
  knows: (id: string) => Promise<boolean>,
): void {
  const path = '/api/firings/:id/results';
  site.get(path, (request, response) =>
    forFiring(request, response, knows, async (id) => answer(response, 200, await book.read(id))),
  );
  const json = express.json({ limit: MOST_BYTES });
  const body = (request: Request, response: Response, next: NextFunction) =>
    json(request, response, (error: unknown) => {
      if (error === undefined) next();
      else answer(response, 400, { text: 'The results cannot be read, or are too long: they are not kept.' });
    });
  site.put(path, body, (request, response) =>
    forFiring(request, response, knows, async (id) => {
      const given = resultsSchema.safeParse(request.body);
      if (!given.success) {
        const [issue] = given.error.issues;
        return answer(response, 400, {
          text: `The results are not kept: ${issue ? `${issue.path.join(', ')}: ${issue.message}` : 'they cannot be read.'}`,
        });
      }
      const { taken, results } = await book.save(id, given.data);
      answer(response, taken ? 200 : 409, taken ? results : { text: CONFLICT, results });
    }),
  );
}

async function forFiring(
  request: Request,
  response: Response,
  knows: (id: string) => Promise<boolean>,
  then: (id: string) => Promise<void>,
): Promise<void> {
  const { id } = request.params;
  if (typeof id !== 'string' || !(await knows(id)))
    return answer(response, 404, { text: 'There is no firing of this name.' });
  try {
    await then(id);
  } catch (error) {
    if (!(error instanceof UnreadableResults)) throw error;
    answer(response, 422, { text: error.message });
  }
}

function answer(response: Response, status: number, what: object): void {
  response.status(status).setHeader('Cache-Control', 'no-store').json(what);
}
