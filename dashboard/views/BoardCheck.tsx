/** The check before lighting: each board as the collector hears it now, judged by the same rules as on the command line. */
import { useEffect } from 'preact/hooks';
import { type Judgement, judge } from '../../collector/core/board-check/judge.ts';
import { badLines } from '../../collector/core/board-check/judge-board.ts';
import type { BoardFacts, ProbeFacts } from '../../protocol/board-facts.ts';
import { differenceFFromC, type TemperatureUnit } from '../../protocol/units.ts';
import type { Page } from '../page.ts';
import { inOneUnit, sayDecimal, sayTemp, unitSign } from '../say.ts';
import type { PageState } from '../state.ts';
import { CHECK, fetchRoomWords, said } from '../words.ts';
import { HoldButton } from './HoldButton.tsx';

interface Props {
  page: Page;
  state: PageState;
  unit: TemperatureUnit;
}

const ASK_EVERY_MS = 1000;

type Finding = Judgement['findings'][number];

export function BoardCheck({ page, state, unit }: Props) {
  useEffect(() => {
    void fetchRoomWords('check');
    page.check(null);
    const timer = setInterval(() => page.check(null), ASK_EVERY_MS);
    return () => clearInterval(timer);
  }, [page]);
  const { checked, firing, clock } = state;
  const mayTry = firing?.stage === 'before' && clock?.source === 'board';
  return (
    <article class="check" aria-labelledby="check-title">
      <div class="way-back">
        <a class="press" href="#/">
          {CHECK.back}
        </a>
        <h2 id="check-title">{CHECK.title}</h2>
      </div>
      {state.standing !== 'open' && checked !== null && <p class="banner">{CHECK.noCollector}</p>}
      {checked === null && <p>{CHECK.asking}</p>}
      {checked?.boards.length === 0 && <p>{CHECK.none}</p>}
      {checked?.refused && <p class="banner">{said(checked.refused)}</p>}
      {checked?.boards.map((facts) => (
        <Board
          key={facts.link}
          facts={facts}
          unit={unit}
          {...(mayTry && !facts.plain ? { onTry: () => page.check(facts.link) } : {})}
        />
      ))}
    </article>
  );
}

function Board({ facts, unit, onTry }: { facts: BoardFacts; unit: TemperatureUnit; onTry?: () => void }) {
  const { verdict, sentence, findings, untried } = judge(facts);
  const about = findings.filter(({ probe }) => probe === null);
  const name = facts.hello?.board ?? CHECK.plainBoard;
  return (
    <section class="check-board" aria-label={name}>
      <p class={`check-verdict is-${verdict}`} role="status" data-testid="verdict">
        {sentence.endsWith(':') ? `${said(sentence)} ${whatToSee(findings)}.` : said(sentence)}
      </p>
      {facts.probes.length > 0 && (
        <>
          <h3>{CHECK.probes}</h3>
          <ul class="check-probes">
            {facts.probes.map((probe) => (
              <Probe
                key={probe.name}
                probe={probe}
                findings={findings.filter((finding) => finding.probe === probe.name)}
                unit={unit}
              />
            ))}
          </ul>
        </>
      )}
      <h3>{CHECK.board}</h3>
      <p class="quiet">{CHECK.aboutBoard(name, facts.link)}</p>
      <Figures facts={facts} unit={unit} />
      <Findings findings={about} unit={unit} />
      {(untried.length > 0 || onTry) && <h3>{CHECK.byHand}</h3>}
      {untried.map((text) => (
        <p key={text}>{said(text)}</p>
      ))}
      {onTry && (
        <div class="check-try">
          <HoldButton words={CHECK.tryCable} onHeld={onTry} />
          <p class="quiet">
            {CHECK.tryCableHelp} {CHECK.pullHelp}
          </p>
        </div>
      )}
    </section>
  );
}

/** The gravest findings, by what they are about: `front, back, the board`. */
function whatToSee(findings: readonly Finding[]): string {
  const [gravest] = findings;
  const about = findings
    .filter(({ grade }) => grade === gravest?.grade)
    .map(({ probe }) => probe ?? CHECK.theBoard);
  return [...new Set(about)].join(', ');
}

/** A small difference to a tenth of a degree. */
function sayTenth(byC: number, unit: TemperatureUnit): string {
  return `${sayDecimal(unit === 'F' ? differenceFFromC(byC) : byC, 1)}\u00a0${unitSign(unit)}`;
}

/** Less is the noise of a good couple, and no hand at its tip. */
const WORTH_SAYING_C = 1;

function Probe({ probe, findings, unit }: { probe: ProbeFacts; findings: Finding[]; unit: TemperatureUnit }) {
  const { name, couple, lastC, noiseC, roseC, fellC } = probe;
  const went = [
    (roseC ?? 0) > WORTH_SAYING_C ? CHECK.rose(sayTenth(roseC ?? 0, unit)) : '',
    (fellC ?? 0) > WORTH_SAYING_C ? CHECK.fell(sayTenth(fellC ?? 0, unit)) : '',
  ].filter((words) => words !== '');
  return (
    <li class="check-probe" data-testid={`check-${name}`}>
      <p class="check-name">
        <strong>{name}</strong> <span class="quiet">{CHECK.couple(couple)}</span>
      </p>
      <p class="check-temp">{lastC === null ? CHECK.noTemp : sayTemp(lastC, unit)}</p>
      <p class="check-noise">
        {[noiseC === null ? CHECK.noNoise : CHECK.noise(sayTenth(noiseC, unit)), ...went].join(', ')}
      </p>
      <Findings findings={findings} unit={unit} />
    </li>
  );
}

function Figures({ facts, unit }: { facts: BoardFacts; unit: TemperatureUnit }) {
  const { hello, lines, hellos, coldJunction } = facts;
  const figures = [
    [CHECK.lines, CHECK.broken(badLines(facts), lines.all)],
    ...(hello === null ? [] : [[CHECK.keeps, CHECK.readings(hello.keeps)]]),
    ...(hello === null
      ? []
      : [
          [
            CHECK.answers,
            hellos.tripMs === null ? CHECK.noAnswer : CHECK.ms(Math.max(1, Math.round(hellos.tripMs))),
          ],
        ]),
    ...(coldJunction.lastC === null ? [] : [[CHECK.ownHeat, sayTemp(coldJunction.lastC, unit)]]),
  ];
  return (
    <dl class="facts">
      {figures.map(([term, words]) => (
        <div key={term} class="fact">
          <dt>{term}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}

function Findings({ findings, unit }: { findings: Finding[]; unit: TemperatureUnit }) {
  return (
    <ul class="check-findings">
      {findings.map(({ grade, what, text }) => (
        <li key={what} class={`check-finding is-${grade}`}>
          <span class="check-mark">{CHECK.marks[grade]}</span>
          <span>{inOneUnit(text, unit)}</span>
        </li>
      ))}
    </ul>
  );
}
