// What rings: the sound, once in the whole browser, and the row that stays until the server knows
// that somebody saw to it.

import { allowNotices, notice, startNotices } from "./notices.js";
import { kept, readJson, row, thisTab } from "./store.js";

const RANG = "grainglass.rang.";
const SHOWN = "grainglass.shown.";
const ARMED = "grainglass.armed";
const FORGET_MS = 30 * 24 * 3600 * 1000;
const SETTLE_MS = 150;
const MINUTE = 60000;
const TONES_HZ = [880, 660, 880, 660, 880, 660];
const TONE_S = 0.28;

const OFF = "Sound needs one press in each tab. A locked phone may ring late.";
const ON = "Sound is on in this tab. A locked phone may ring late.";
const WAITS = "Sound is on, and waits for your next press on this page.";
const SILENT = "This browser has no sound for pages: watch the clock.";

const rung = new Set(); // here, in case the browser keeps nothing
const me = Math.random().toString(36).slice(2);
let audio = null;
let titlePrefix = "";

const isArmed = () => thisTab.get(ARMED) === "yes";
const canSound = () => isArmed() && audio?.state === "running";

function wake() {
  if (!isArmed() || !window.AudioContext) return;
  audio ??= new AudioContext();
  audio.resume().then(showArmed, showArmed);
  audio.onstatechange = showArmed;
}

function play() {
  const start = audio.currentTime + 0.05;
  TONES_HZ.forEach((hertz, place) => {
    const tone = audio.createOscillator();
    const volume = audio.createGain();
    const from = start + place * TONE_S;
    tone.frequency.value = hertz;
    volume.gain.setValueAtTime(0, from);
    volume.gain.linearRampToValueAtTime(0.4, from + 0.02);
    volume.gain.setValueAtTime(0.4, from + TONE_S - 0.05);
    volume.gain.linearRampToValueAtTime(0, from + TONE_S - 0.01);
    tone.connect(volume).connect(audio.destination);
    tone.start(from);
    tone.stop(from + TONE_S);
  });
}

/** How long, as one says it: "3 min", "1 h 05 min". */
export function spoken(ms) {
  const minutes = Math.floor(ms / MINUTE);
  if (minutes < 60) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

const momentOf = (clock, kind) => (kind === "due" ? clock.due : clock.early);
const rows = () => [...document.querySelectorAll("#alarms > [data-alarm]")];
const rowOf = (clock) => rows().find((alarm) => alarm.dataset.alarm === clock.key);

// When the row was first seen in this browser: a reload must not make it later than it was.
function firstShown(clock, kind, now) {
  const id = `${SHOWN}${clock.key}.${kind}`;
  const known = readJson(kept, id);
  if (known) return known.late;
  const late = now - momentOf(clock, kind);
  kept.set(id, JSON.stringify({ at: Date.now(), late }));
  return late;
}

function lateness(clock, kind, now) {
  const rang = readJson(kept, `${RANG}${clock.key}.${kind}`);
  const late = rang?.late ?? firstShown(clock, kind, now);
  if (late < MINUTE) return "";
  return rang || canSound() ? `Rang ${spoken(late)} late.` : `Shown ${spoken(late)} late, without sound.`;
}

// Several tabs come here in the same second. Each writes its name; the last one written sounds,
// and only a tab that can be heard writes.
function ring(clock, kind, now) {
  const id = `${RANG}${clock.key}.${kind}`;
  if (!canSound() || rung.has(id) || kept.get(id)) return;
  rung.add(id);
  const late = now - momentOf(clock, kind);
  kept.set(id, JSON.stringify({ at: Date.now(), late, by: me }));
  setTimeout(() => {
    const claim = readJson(kept, id);
    if (claim && claim.by !== me) return;
    play();
    navigator.vibrate?.([300, 150, 300, 150, 600]);
    rowOf(clock)?.querySelector("[data-then]").replaceChildren(lateness(clock, kind, now));
    document.dispatchEvent(new CustomEvent("grainglass:ring", { detail: { key: clock.key, kind, late } }));
  }, SETTLE_MS);
}

function rowFor(clock, kind, now) {
  const alarm = row("row-alarm");
  Object.assign(alarm.dataset, { alarm: clock.key, kind, name: clock.name });
  const meaning = kind === "due" ? "time is up" : `${spoken(clock.due - now)} ${clock.until}`;
  alarm.querySelector("[data-what]").textContent = `${clock.name}: ${meaning}.`;
  alarm.querySelector("[data-then]").textContent = lateness(clock, kind, now);
  const way = alarm.querySelector("[data-way]");
  if (!clock.href || new URL(clock.href, location).pathname === location.pathname) way.remove();
  else way.href = clock.href;
  return alarm;
}

function show(clock, kind, now) {
  const standing = rowOf(clock);
  if (standing?.dataset.kind !== kind) {
    const alarm = rowFor(clock, kind, now);
    if (standing) standing.replaceWith(alarm);
    else document.getElementById("alarms").append(alarm);
  }
  ring(clock, kind, now);
  if (isArmed()) notice(`${clock.key}.${kind}`, rowOf(clock).querySelector("[data-what]").textContent, clock.href);
}

function showTitle() {
  const old = titlePrefix && document.title.startsWith(titlePrefix) ? titlePrefix : "";
  const first = rows()[0];
  titlePrefix = first ? `Rings: ${first.dataset.name} · ` : "";
  if (titlePrefix !== old) document.title = titlePrefix + document.title.slice(old.length);
}

/** Brings rows and sound in line with the clocks that run at the moment `now`. */
export function attend(clocks, now) {
  for (const clock of clocks) {
    if (now >= clock.due) show(clock, "due", now);
    else if (clock.early && now >= clock.early) show(clock, "early", now);
  }
  const running = new Set(clocks.map((clock) => clock.key));
  rows().filter((alarm) => !running.has(alarm.dataset.alarm)).forEach((alarm) => alarm.remove());
  showTitle();
}

/** The button that turns sound on, as it stands now. */
export function showArmed() {
  for (const place of document.querySelectorAll("[data-arm-row]")) {
    place.hidden = false;
    const button = place.querySelector("[data-arm]");
    button.hidden = !window.AudioContext;
    button.textContent = isArmed() ? "Turn alarms off" : "Turn alarms on";
    const says = !window.AudioContext ? SILENT : canSound() ? ON : isArmed() ? WAITS : OFF;
    place.querySelector("[data-arm-says]").textContent = says;
  }
}

function press(event) {
  if (!event.target.closest?.("[data-arm]")) return;
  if (isArmed()) thisTab.remove(ARMED);
  else { thisTab.set(ARMED, "yes"); allowNotices(); }
  wake();
  showArmed();
}

function forgetOld() {
  for (const key of [...kept.keys(RANG), ...kept.keys(SHOWN)]) {
    if (Date.now() - (readJson(kept, key)?.at ?? 0) > FORGET_MS) kept.remove(key);
  }
}

export function startAlarms() {
  forgetOld();
  startNotices();
  document.addEventListener("click", press);
  // after a reload a browser gives sound back with the first press on the page
  for (const name of ["pointerdown", "keydown"]) document.addEventListener(name, () => { if (!canSound()) wake(); });
  wake();
  showArmed();
}
