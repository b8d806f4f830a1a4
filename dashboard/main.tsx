/** Starts the page in the browser. */
import { render } from 'preact';
import { browserStorage, recall, remember } from './keep.ts';
import { wear } from './look.ts';
import { startPage } from './page.ts';
import { firstSettings, settingsSchema } from './settings.ts';
import { App } from './views/App.tsx';
import { language } from './words/language.ts';
import { LANGUAGE } from './words.ts';

const storage = browserStorage();
let settings = recall(storage, 'settings', settingsSchema, firstSettings(navigator.language));
wear(settings.look);
document.documentElement.lang = language;
document.documentElement.dir = LANGUAGE.dir;

const page = startPage(() => settings.who);
const root = document.getElementById('page');
if (root)
  render(
    <App
      page={page}
      first={settings}
      onSettings={(next) => {
        settings = next;
        remember(storage, 'settings', next);
        wear(next.look);
      }}
    />,
    root,
  );
