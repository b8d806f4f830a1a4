/** The page that reads the board for the kiln's computer. */

import { type BleLine, chooseBluetooth, hasBluetooth } from '../link/bluetooth-port.ts';
import type { BoardPort } from '../link/board-port.ts';
import type { Bridge, BridgeState } from '../link/bridge.ts';
import { chooseSerial, hasSerial } from '../link/serial-port.ts';
import type { Page } from '../page.ts';
import { saySpan } from '../say.ts';
import { LINK, said } from '../words.ts';

export function LinkPage({ page }: { page: Page }) {
  const bridge = page.bridge();
  const state = bridge.state();
  return (
    <article class="link-page" aria-labelledby="link-title">
      <div class="way-back">
        <a class="press" href="#/">
          {LINK.back}
        </a>
        <h2 id="link-title">{LINK.title}</h2>
      </div>
      <p>{LINK.what}</p>
      <Standing page={page} bridge={bridge} state={state} />
    </article>
  );
}

function Standing({ page, bridge, state }: { page: Page; bridge: Bridge; state: BridgeState }) {
  const { told } = state;
  if (!window.isSecureContext) return <p class="banner">{LINK.notSecure}</p>;
  if (!hasSerial() && !hasBluetooth()) return <p class="banner">{LINK.cannot}</p>;
  if (told === null) return <p>{LINK.asking}</p>;
  if (told.refused !== null) return <p class="banner">{said(told.refused)}</p>;
  const choose = (choosing: Promise<BoardPort>) => {
    // Whoever closes the browser's own question has changed their mind: nothing has gone wrong.
    void choosing.then(
      (port) => {
        bridge.take(port);
        void page.awake.keepOn();
      },
      () => undefined,
    );
  };
  return state.port === 'none' ? (
    <Choice
      ble={told.ble}
      holder={state.refused === null ? told.holder && LINK.held(told.holder) : said(state.refused)}
      choose={choose}
    />
  ) : (
    <Reading bridge={bridge} state={state} />
  );
}

interface ChoiceProps {
  ble: BleLine | null;
  holder: string | null;
  choose(choosing: Promise<BoardPort>): void;
}

function Choice({ ble, holder, choose }: ChoiceProps) {
  return (
    <>
      {holder !== null && (
        <p class="banner" role="status">
          {holder}
        </p>
      )}
      <div class="group-row">
        {hasSerial() && (
          <button type="button" class="press" onClick={() => choose(chooseSerial())}>
            {LINK.serial}
          </button>
        )}
        {hasBluetooth() && ble !== null && (
          <button type="button" class="press" onClick={() => choose(chooseBluetooth(ble))}>
            {LINK.bluetooth}
          </button>
        )}
      </div>
      {hasBluetooth() && ble === null && <p class="quiet">{LINK.noUuids}</p>}
    </>
  );
}

function Reading({ bridge, state }: { bridge: Bridge; state: BridgeState }) {
  const { port, connected, trouble, bytes, lastMs } = state;
  const words = { none: '', asking: LINK.asking, opening: LINK.opening, open: LINK.open, lost: LINK.lost }[
    port
  ];
  const heard =
    lastMs === null
      ? LINK.nothing
      : LINK.heard((bytes / 1000).toFixed(1), saySpan(Math.max(0, performance.now() - lastMs)));
  return (
    <>
      <p class="banner" role="status">
        {connected ? words : LINK.calling}
      </p>
      {trouble !== null && port !== 'open' && <p>{LINK.trouble(trouble)}</p>}
      <p>{heard}</p>
      <p class="quiet">{LINK.keepOpen}</p>
      <button type="button" class="press plain" onClick={() => bridge.letGo()}>
        {LINK.letGo}
      </button>
    </>
  );
}
