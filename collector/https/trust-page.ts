/** How to trust the collector's own authority, step by step for each system: data, and a plain page made of them. */

export interface TrustSteps {
  system: string;
  steps: readonly string[];
}

/** Menus as they were named in 2025; they move. */
export const TRUST_STEPS: readonly TrustSteps[] = [
  {
    system: 'iPhone, iPad',
    steps: [
      'In Safari, tap "Get the certificate" above, and allow the download of a profile.',
      'Settings > General > VPN & Device Management: tap the downloaded profile, then Install.',
      'Settings > General > About > Certificate Trust Settings (at the end): turn it on for Spyhole.',
      'Open the page by the link below. For push: Share > Add to Home Screen, open it from there, and turn push on.',
    ],
  },
  {
    system: 'Android',
    steps: [
      'Tap "Get the certificate" above; it goes to the downloads.',
      'Settings > Security and privacy > More > Encryption and credentials > Install a certificate > CA certificate: confirm the warning, and pick the file.',
      'Open the page by the link below, in Chrome. Firefox: Settings > About Firefox, tap the logo five times, then Settings > Secret settings > Use third party CA certificates.',
    ],
  },
  {
    system: 'Windows',
    steps: [
      'Get the certificate above and open the file: Install certificate > Current user.',
      'Place all certificates in the following store > Browse > Trusted Root Certification Authorities. Finish, and confirm.',
      'Close the browser and open it again. Firefox takes it from the system.',
    ],
  },
  {
    system: 'macOS',
    steps: [
      'Get the certificate above and open the file: it goes into Keychain Access, into the login keychain.',
      'Double-click it there: Trust > When using this certificate: Always Trust.',
      'Close the browser and open it again.',
    ],
  },
  {
    system: 'Linux',
    steps: [
      'Chrome, Chromium: Settings > Privacy and security > Security > Manage certificates > Installed by you > Import the file, as trusted.',
      'Firefox: Settings > Privacy & Security > Certificates > View certificates > Authorities > Import, and tick websites.',
      'For the whole system (Debian): copy the file to /usr/local/share/ca-certificates/ and run update-ca-certificates as root.',
    ],
  },
];

/** What trusting it means, in words. */
export const TRUST_MEANS = [
  'This certificate was made on the computer at the kiln, and its key stays there. It can vouch for addresses in home networks only, for no site in the internet.',
  'You get it over a line that is not encrypted: before you install it, compare its fingerprint with the one that the collector has printed.',
  'Whoever has that computer could pass for other devices in your network. When you do not use it any more, take it out at the same place.',
];

const escaped = (text: string) => text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** `secureUrl`: where to go then. */
export function trustPage(fingerprint: string, secureUrl: string): string {
  const paragraphs = (lines: readonly string[]) => lines.map((line) => `<p>${escaped(line)}</p>`).join('');
  const systems = TRUST_STEPS.map(
    ({ system, steps }) =>
      `<h2>${escaped(system)}</h2><ol>${steps.map((step) => `<li>${escaped(step)}</li>`).join('')}</ol>`,
  );
  return `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Trust Spyhole</title><h1>Let this phone trust the kiln's page</h1><p>Over HTTPS the page can wake a locked phone by push. For that the phone must trust the collector.</p>${paragraphs(TRUST_MEANS)}<p>Its fingerprint (SHA-256): <code>${escaped(fingerprint)}</code></p><p><a href="/trust/ca.crt" download="spyhole-ca.crt">Get the certificate</a></p>${systems.join('')}<p><a href="${escaped(secureUrl)}">Open the page over HTTPS</a></p></html>\n`;
}
