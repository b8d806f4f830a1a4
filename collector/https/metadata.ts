/**
 * What the certificate library's injector asks of the platform: metadata on classes, as the ECMAScript proposal 'Metadata
 * Reflection' had it. Only the part that it uses, and only where nobody else has brought it.
 */

type Store = WeakMap<object, Map<unknown, unknown>>;

function own(store: Store, key: unknown, target: object): unknown {
  return store.get(target)?.get(key);
}

function inherited(store: Store, key: unknown, target: object): unknown {
  for (let each: object | null = target; each !== null; each = Reflect.getPrototypeOf(each)) {
    const value = own(store, key, each);
    if (value !== undefined) return value;
  }
  return undefined;
}

/** Must be called before the library is loaded. */
export function bringMetadata(): void {
  if ('getMetadata' in Reflect) return;
  const store: Store = new WeakMap();
  Object.assign(Reflect, {
    defineMetadata(key: unknown, value: unknown, target: object) {
      const metadata = store.get(target) ?? new Map<unknown, unknown>();
      store.set(target, metadata.set(key, value));
    },
    getMetadata: (key: unknown, target: object) => inherited(store, key, target),
    getOwnMetadata: (key: unknown, target: object) => own(store, key, target),
  });
}
