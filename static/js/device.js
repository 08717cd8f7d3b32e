// What this device keeps: JSON under `dowel <kind> <person> <what>`. Nothing here throws. Where the store is full, closed or
// damaged nothing is kept, and the page works all the same.

/** One of the browser's two stores; only to look at it may throw. */
function guarded(name) {
  const safely = (act, otherwise) => {
    try {
      return act(globalThis[name]);
    } catch {
      return otherwise;
    }
  };
  return {
    /** null where nothing readable is kept */
    get: (key) => safely((store) => JSON.parse(store.getItem(key)), null),
    /** whether it is kept now */
    set: (key, value) => safely((store) => (store.setItem(key, JSON.stringify(value)), true), false),
    drop: (key) => safely((store) => store.removeItem(key)),
    keys: (start) => safely((store) => Object.keys(store).filter((key) => key.startsWith(start)), []),
    clear: () => safely((store) => store.clear()),
  };
}

export const device = guarded('localStorage');
/** Ends with the tab. */
export const tab = guarded('sessionStorage');

/** Whose page this is; undefined where nobody is signed in. */
export const person = globalThis.document?.body.dataset.person;

export const named = (kind, what, whose = person) => `dowel ${kind} ${whose} ${what}`;

// write-ups were once kept under names without a person: they are of whoever was here last
for (const old of device.keys('draft /')) {
  const draft = device.get(old);
  const whose = device.get('dowel person') ?? person;
  if (!whose) break;
  // there may be no room for both
  device.drop(old);
  if (!device.set(named('draft', old.slice('draft '.length), whose), draft)) device.set(old, draft);
}
