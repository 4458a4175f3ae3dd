// Clocks count down by themselves, by the server's time, and say what rings. The server's word on which
// clocks run is the list it sends ([data-clock-list]); a page without one goes by what it shows.

import { attend, showArmed, startAlarms } from "./alarms.js";
import { thisTab } from "./store.js";

const OFFSET = "grainglass.offset";
const SECOND = 1000;
const HOUR = 3600 * SECOND;
const MOVE_EVERY = 5; // ticks between two moves of the light
const CLOSES = "until it closes";
const PAST = "since it was due";

let offset = 0;
let ticks = 0;

const serverNow = () => Date.now() + offset;

/** Milliseconds of an instant as the server writes it, or null. */
export function instant(text) {
  const found = Date.parse((text ?? "").replace(/(\.\d{3})\d+/, "$1"));
  return Number.isNaN(found) ? null : found;
}

function correct(text) {
  const server = instant(text);
  if (server === null) return;
  offset = server - Date.now();
  thisTab.set(OFFSET, String(offset));
}

// A page from the browser's memory carries an old time; what was known before is better.
function correctFromPage() {
  const [navigation] = performance.getEntriesByType("navigation");
  const known = Number(thisTab.get(OFFSET));
  if (navigation?.type === "back_forward" && known) offset = known;
  else correct(document.body.dataset.now);
}

function read(element) {
  const { key, name, until, href, started, due, early, closes, settled } = element.dataset;
  return {
    key, name, until, href,
    started: instant(started), due: instant(due), early: instant(early), closes: instant(closes),
    settled: settled !== "",
  };
}

/** A length of time as figure and unit: 1:11 h from an hour up, 41:07 min below. */
export function figure(ms) {
  const seconds = Math.max(0, Math.floor(ms / SECOND));
  const [whole, part, unit] = ms >= HOUR
    ? [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60), "h"]
    : [Math.floor(seconds / 60), seconds % 60, "min"];
  return [`${whole}:${String(part).padStart(2, "0")}`, unit];
}

function standing(clock, now) {
  if (now < clock.due) return [clock.due - now, clock.until];
  if (clock.closes && now < clock.closes) return [clock.closes - now, CLOSES];
  return [now - (clock.closes ?? clock.due), PAST];
}

function write(element, selector, text) {
  const place = element.querySelector(selector);
  if (place && place.textContent !== text) place.textContent = text;
}

function moveLight(element, clock, now) {
  const end = Math.max(clock.due, clock.closes ?? 0);
  const share = Math.min(1, Math.max(0, (now - clock.started) / (end - clock.started)));
  const percent = `${(100 * share).toFixed(2)}%`;
  element.querySelector(".slots .passed")?.setAttribute("width", percent);
  for (const name of ["x1", "x2"]) element.querySelector(".slots .now")?.setAttribute(name, percent);
}

function show(element, now, withLight) {
  const clock = read(element);
  if (clock.due === null || clock.started === null || clock.settled) return;
  const [ms, meaning] = standing(clock, now);
  const [text, unit] = figure(ms);
  write(element, "[data-left]", text);
  write(element, "[data-left-unit]", unit);
  write(element, "[data-left-until]", meaning);
  if (withLight) moveLight(element, clock, now);
}

function runningClocks() {
  const place = document.querySelector("[data-clock-list]") ?? document;
  const byKey = new Map();
  for (const element of place.querySelectorAll("[data-clock]")) {
    const clock = read(element);
    if (!clock.settled && clock.due !== null) byKey.set(clock.key, clock);
  }
  return [...byKey.values()];
}

// What goes on counts up from the moment it would have begun without its pauses.
function count(element, now) {
  const since = instant(element.dataset.counts);
  if (since === null) return;
  const [text, unit] = figure(now - since);
  write(element, "[data-counted]", text);
  write(element, "[data-counted-unit]", unit);
}

function tick(withLight) {
  const now = serverNow();
  for (const element of document.querySelectorAll("[data-counts]")) count(element, now);
  for (const element of document.querySelectorAll("[data-clock]")) show(element, now, withLight);
  attend(runningClocks(), now);
}

function afterSwap(event) {
  const fresh = event.detail.target;
  correct(fresh?.querySelector?.("[data-now]")?.dataset.now ?? "");
  showArmed();
  tick(true);
}

export function startClocks() {
  correctFromPage();
  startAlarms();
  tick(true);
  setInterval(() => { ticks += 1; tick(ticks % MOVE_EVERY === 0); }, SECOND);
  document.addEventListener("htmx:afterSwap", afterSwap);
  // timers sleep with a hidden tab: look at once when somebody comes back
  for (const name of ["focus", "pageshow"]) window.addEventListener(name, () => tick(true));
  document.addEventListener("visibilitychange", () => tick(true));
}
