// Keeps the wall and a layup's page fresh, and says so when they are old. A page without word for two minutes, or
// whose tab slept so long, is dimmed and says since when: an old time must never look like a new one.
"use strict";

const EVERY_MS = 30000, RETRY_MS = 5000, PATIENCE_MS = 10000;
const OLD_MS = 120000;
const DRAWN_MS = 90000; // so long a drawing will do whose words, hours and states still hold

const yard = () => document.getElementById("yard");
let madeMs = Number(yard().dataset.at) * 1000;
let gotMs = Date.now();
let drawnMs = 0, tag = null;
let asking = false;
let next = 0;

function face(ms) {
  return new Intl.DateTimeFormat("en-GB", {timeZone: yard().dataset.zone, hour: "2-digit", minute: "2-digit"}).format(ms);
}

function tell() {
  const since = Date.now() - gotMs;
  const old = since < 0 || since >= OLD_MS;
  document.body.classList.toggle("old", old);
  const nowMs = gotMs ? madeMs + since : Date.now(); // by the service's clock, not by the screen's
  say(old ? `No word since ${face(madeMs)}. It is ${face(nowMs)}: go and look.` : "");
}

function say(words) {
  const lost = document.getElementById("lost");
  if (lost.textContent !== words) lost.textContent = words;
}

async function ask() {
  if (asking) return;
  asking = true;
  let came = true;
  try {
    const drawn = Date.now() - drawnMs;
    const kept = tag && drawn >= 0 && drawn < DRAWN_MS ? {"If-None-Match": tag} : {};
    const answer = await fetch(location.href, {
      headers: {Accept: "text/html", ...kept}, cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (answer.redirected) location.reload(); // to the entrance: the pass has expired
    if (answer.status === 304) {
      hold();
    } else {
      if (!answer.ok) throw new Error(answer.status);
      show(new DOMParser().parseFromString(await answer.text(), "text/html"));
      tag = answer.headers.get("ETag");
    }
  } catch {
    came = false;
  }
  asking = false;
  next = Date.now() + (came ? EVERY_MS : RETRY_MS);
  tell();
}

function show(page) {
  const held = document.activeElement?.getAttribute("href");
  const parts = [[yard(), page.getElementById("yard")], [document.querySelector("body > header .as-of"), page.querySelector("body > header .as-of")]];
  document.querySelectorAll("[data-renews]").forEach((old, place) => {
    parts.push([old, page.querySelectorAll("[data-renews]")[place]]);
  });
  for (const [old, fresh] of parts) {
    if (old && fresh) old.replaceWith(document.adoptNode(fresh));
  }
  madeMs = Number(yard().dataset.at) * 1000;
  gotMs = drawnMs = Date.now();
  turnTo(turned);
  if (held) document.querySelector(`#yard a[href="${CSS.escape(held)}"]`)?.focus();
}

// The service says that the page still holds: it stands as of the moment that it shows.
function hold() {
  madeMs += Date.now() - gotMs;
  gotMs = Date.now();
}

function look() {
  tell();
  if (Date.now() >= next) ask();
}

// Nobody scrolls a screen across the shop: rows beyond its foot turn by pages, while trouble stays. It keeps still
// while somebody uses it. Where there is no room for rows, or motion is not wanted, all rows stand below each other.
const TURN_MS = 15000, LEFT_ALONE_MS = 120000;
const turns = matchMedia("screen and (min-width: 1000px) and (prefers-reduced-motion: no-preference)");
let touchedMs = -LEFT_ALONE_MS, turned = 0;
for (const event of ["pointerdown", "pointermove", "wheel", "keydown", "touchstart"]) {
  addEventListener(event, () => { touchedMs = Date.now(); }, {passive: true});
}

function turnTo(number) {
  const pages = Number(yard().dataset.pages || 1);
  const turning = turns.matches && pages > 1;
  turned = turning ? number % pages : 0;
  document.body.classList.toggle("turning", turning);
  for (const row of document.querySelectorAll("[data-page]")) {
    row.hidden = turning && Number(row.dataset.page) !== turned + 1;
  }
  const told = document.querySelector(".page");
  if (told) {
    told.hidden = !turning;
    told.querySelector("b").textContent = turned + 1;
  }
}

function turn() {
  if (Date.now() - touchedMs >= LEFT_ALONE_MS) turnTo(turned + 1);
}

// A page from the browser's cache or a proxy's may be old from the start.
if (Math.abs(gotMs - madeMs) < OLD_MS) next = gotMs + EVERY_MS;
else gotMs = 0;
for (const event of ["visibilitychange", "pageshow", "online", "focus"]) addEventListener(event, look);
turns.addEventListener("change", () => turnTo(turned));
setInterval(look, 1000);
setInterval(turn, TURN_MS);
turnTo(0);
look();
