/** The phones that were armed to wake somebody, and are not heard any more. */
import { aboutKiln, type Rule } from '../rule.ts';

export const phoneSilent: Rule = {
  name: 'phone-silent',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: ({ phoneTrouble }) =>
    aboutKiln(
      phoneTrouble === null ? 'off' : 'on',
      () => phoneTrouble ?? 'Every armed phone is heard again, or was let go.',
    ),
};
