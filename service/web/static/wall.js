// Keeps the wall and a layup's page fresh, and says so when they are old. A page that can't be fetched again, or whose
// tab slept, is dimmed and shows its time: an old time must never look like a new one.
"use strict";

const EVERY_MS = 30000, RETRY_MS = 5000, PATIENCE_MS = 10000;
const OLD_MS = 90000; // a page that was not renewed for so long is old, whatever the reason

let madeMs = Number(document.getElementById("yard").dataset.at) * 1000;
let gotMs = Date.now();
let lostMs = null;
let asking = false;
let next = 0;

function face(ms) {
  const zone = document.getElementById("yard").dataset.zone;
  return new Intl.DateTimeFormat("en-GB", {timeZone: zone, hour: "2-digit", minute: "2-digit"}).format(ms);
}

function tell() {
  const since = Date.now() - gotMs;
  if (lostMs === null && since >= 0 && since < OLD_MS) {
    document.body.classList.remove("old");
    say("");
    return;
  }
  document.body.classList.add("old");
  say(`As of ${face(madeMs)}. ` + (lostMs === null
    ? "This screen slept: fetching again."
    : `Service lost since ${face(lostMs)}: nothing here is newer.`));
}

function say(words) {
  const lost = document.getElementById("lost");
  if (lost.textContent !== words) lost.textContent = words;
}

async function ask() {
  if (asking) return;
  asking = true;
  try {
    const answer = await fetch(location.href, {
      headers: {Accept: "text/html"}, cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (answer.redirected) location.reload(); // to the entrance: the pass has expired
    if (!answer.ok) throw new Error(answer.status);
    show(new DOMParser().parseFromString(await answer.text(), "text/html"));
    lostMs = null;
  } catch {
    lostMs = lostMs ?? Date.now();
  }
  asking = false;
  next = Date.now() + (lostMs === null ? EVERY_MS : RETRY_MS);
  tell();
}

function show(page) {
  const held = document.activeElement?.getAttribute("href");
  for (const part of ["#yard", ".as-of"]) {
    document.querySelector(part).replaceWith(document.adoptNode(page.querySelector(part)));
  }
  if (held) document.querySelector(`#yard a[href="${CSS.escape(held)}"]`)?.focus();
  madeMs = Number(document.getElementById("yard").dataset.at) * 1000;
  gotMs = Date.now();
}

function look() {
  tell();
  if (Date.now() >= next) ask();
}

// Nobody scrolls a screen across the shop: it shows its page in turns, the top longest, and only the
// top while a window is in its last minutes. It stays still while somebody uses it.
const TURN_MS = 15000, TOP_TURNS = 2, LEFT_ALONE_MS = 120000;
let touchedMs = -LEFT_ALONE_MS, turns = 0;
for (const event of ["pointerdown", "pointermove", "wheel", "keydown", "touchstart"]) {
  addEventListener(event, () => { touchedMs = Date.now(); }, {passive: true});
}

function turn() {
  const wall = matchMedia("(min-width: 1600px)").matches && document.body.matches(".wall");
  if (!wall || Date.now() - touchedMs < LEFT_ALONE_MS) return;
  const beyond = document.documentElement.scrollHeight - innerHeight;
  turns = document.querySelector(".strip.minutes") || scrollY >= beyond - 1 ? 0 : turns + 1;
  scrollTo(0, Math.min(Math.max(0, turns - TOP_TURNS) * innerHeight * 0.9, beyond));
}

// A page from the browser's cache or a proxy's may be old from the start.
if (Math.abs(gotMs - madeMs) < OLD_MS) next = gotMs + EVERY_MS;
else gotMs = 0;
for (const event of ["visibilitychange", "pageshow", "online", "focus"]) addEventListener(event, look);
setInterval(look, 1000);
setInterval(turn, TURN_MS);
look();
