// The browser's own storage, which may be full, switched off or cleared at any moment:
// then the page works on and merely forgets.

function guarded(area) {
  const at = () => window[area];
  return {
    get(key) {
      try { return at().getItem(key); } catch { return null; }
    },
    set(key, text) {
      try { at().setItem(key, text); return true; } catch { return false; }
    },
    remove(key) {
      try { at().removeItem(key); } catch { /* nothing was kept */ }
    },
    keys(prefix) {
      try { return Object.keys(at()).filter((key) => key.startsWith(prefix)); } catch { return []; }
    },
  };
}

export const kept = guarded("localStorage");
export const thisTab = guarded("sessionStorage");

/** What a key holds as JSON, or null. */
export function readJson(area, key) {
  try { return JSON.parse(area.get(key)); } catch { return null; }
}

/** A copy of a row from a <template> of the page. */
export function row(id) {
  return document.getElementById(id).content.firstElementChild.cloneNode(true);
}

/** Runs `act` once the page stands and htmx knows it: a module runs before that. */
export function whenReady(act) {
  if (document.readyState === "complete") act();
  else document.addEventListener("DOMContentLoaded", act, { once: true });
}
