/** The ways that an alert reaches a person, as the page and the collector speak of them, and what goes out by webhook and MQTT. */
import { z } from 'zod';
import { ALERT_NAMES, ALERT_PRIORITIES } from './alert-names.ts';
import { STAGES } from './stages.ts';

export const WAYS = ['page', 'lamp', 'push', 'loudspeaker', 'mail', 'webhook', 'mqtt'] as const;
export type Way = (typeof WAYS)[number];

/** One thing that was sent, or is being tried. `at`: wall clock, epoch ms. */
export const sendReportSchema = z.object({
  way: z.enum(WAYS),
  at: z.number().int(),
  /** Of which alert; null for a test. */
  alert: z.string().nullable(),
  state: z.enum(['delivered', 'retrying', 'failed']),
  text: z.string(),
});
export type SendReport = z.infer<typeof sendReportSchema>;

/** Sent to a page when it greets and whenever something of it changes; unnumbered, for it is no part of the firing. */
export const waysMessageSchema = z.object({
  type: z.literal('ways'),
  /** `why`: in a sentence, what it does or why it does nothing. */
  ways: z.array(
    z.object({ way: z.enum(WAYS), armed: z.boolean(), why: z.string(), last: sendReportSchema.nullable() }),
  ),
  /** The last that were sent, oldest first. */
  sends: z.array(sendReportSchema),
  phones: z.array(
    z.object({ id: z.string(), name: z.string(), armed: z.array(z.string()), silent: z.boolean() }),
  ),
  /** With which key a browser subscribes to push (RFC 8292), or null where there is no push. */
  pushKey: z.string().nullable(),
  /** Where the page is served over HTTPS, and where it says how to trust that; null where it is not. */
  secure: z.object({ port: z.number().int(), trustPath: z.string() }).nullable(),
});
export type WaysMessage = z.infer<typeof waysMessageSchema>;

/** Answer to a page's `test`. */
export const testedMessageSchema = z.object({
  type: z.literal('tested'),
  id: z.string(),
  way: z.enum(WAYS),
  reached: z.boolean(),
  text: z.string(),
});

const id = z.string().min(1).max(80);

/** A page says every 10 s or so which phone it is on, and by what it would wake somebody there; nothing lets it go. */
export const phoneMessageSchema = z.object({
  type: z.literal('phone'),
  id,
  name: z.string().min(1).max(40),
  armed: z.array(z.enum(['sound', 'vibration', 'push', 'screen'])).max(8),
});

/** A browser's push subscription (W3C Push API, PushSubscription.toJSON), or that it has none any more. */
export const subscriptionSchema = z.object({
  endpoint: z.url({ protocol: /^https?$/ }).max(2000),
  keys: z.object({ p256dh: z.string().max(200), auth: z.string().max(100) }),
});
export type Subscription = z.infer<typeof subscriptionSchema>;
export const pushMessageSchema = z.object({
  type: z.literal('push'),
  /** Of the phone. */
  id,
  subscription: subscriptionSchema.nullable(),
});

/** A phone's worker has shown what was pushed to it: the push's own id. Needs no greeting, and is answered by `taken`. */
export const shownMessageSchema = z.object({ type: z.literal('shown'), id, push: z.string().max(80) });

/** Try a way now: the answer is a `tested`. */
export const testMessageSchema = z.object({ type: z.literal('test'), id, way: z.enum(WAYS) });

/** Raised when a field of a webhook's or MQTT's JSON changes its meaning. */
export const WAYS_VERSION = 1;

const time = z.iso.datetime({ precision: 3 });

/** An alert in a webhook's or MQTT's JSON. Times RFC 3339 UTC of firing time. */
export const toldAlertSchema = z.object({
  id: z.string(),
  name: z.enum(ALERT_NAMES),
  probe: z.string().nullable(),
  priority: z.enum(ALERT_PRIORITIES),
  text: z.string(),
  raised_at: time,
  acknowledged: z.object({ at: time, who: z.string().nullable(), where: z.string() }).nullable(),
});

/** What happened to it; `test` has no alert. */
export const TOLD_EVENTS = ['raised', 'acknowledged', 'quiet', 'cleared', 'unanswered', 'test'] as const;

/** The body of a webhook. */
export const webhookBodySchema = z.object({
  spyhole: z.literal(WAYS_VERSION),
  id: z.string(),
  /** Counts the bodies of one run of the collector from 1. */
  n: z.number().int().positive(),
  event: z.enum(TOLD_EVENTS),
  /** When it was made, wall clock. */
  at: time,
  kiln: z.string(),
  /** 1 to 3: how loudly it calls. */
  step: z.number().int().min(1).max(3),
  alert: toldAlertSchema.nullable(),
});
export type WebhookBody = z.infer<typeof webhookBodySchema>;

/** Retained under `<base>/<kiln>/state`. */
export const mqttStateSchema = z.object({
  spyhole: z.literal(WAYS_VERSION),
  at: time,
  stage: z.enum(STAGES),
  kiln_c: z.number().nullable(),
  climb_c_per_h: z.number().nullable(),
});

/** Retained under `<base>/<kiln>/alert/<name>`, or `…/<name>/<probe>`. */
export const mqttAlertSchema = z.object({
  spyhole: z.literal(WAYS_VERSION),
  state: z.enum(['up', 'acknowledged', 'quiet', 'over']),
  step: z.number().int().min(1).max(3),
  alert: toldAlertSchema,
});
