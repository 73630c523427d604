"use strict";
// Recording where the network comes and goes. Without this file the form still works; with it nothing typed is lost.

const RETRY_MS = 5000;
let waiting = false; // one form waits at most: it is sent once

const box = () => document.querySelector("#record");
const say = (text) => {
  const line = document.querySelector("#connection");
  if (!line) return;
  line.textContent = text;
  line.hidden = !text;
};

const keep = (form) => {
  if (!form.dataset.draft) return;
  const typed = Object.fromEntries([...new FormData(form)].filter(([name]) => name !== "csrfmiddlewaretoken"));
  try {
    localStorage.setItem(form.dataset.draft, JSON.stringify(typed));
  } catch {
    // storage is full or refused: the form still holds what was typed
  }
};

const restore = () => {
  const stored = box()?.dataset.stored;
  try {
    if (stored) localStorage.removeItem(stored);
    const form = document.querySelector("[data-draft]");
    if (!form || stored || document.querySelector(".field.wrong, .preview")) return;
    const typed = JSON.parse(localStorage.getItem(form.dataset.draft) ?? "null");
    if (!typed) return;
    let restored = 0;
    for (const [name, value] of Object.entries(typed)) {
      const field = form.elements[name];
      const fresh = name === "ref" || (field && !field.value);
      if (!field || !value || !fresh || field.value === value) continue;
      field.value = value;
      if (name !== "ref") restored += 1;
    }
    if (restored) say("What you typed before was kept on this device and stands here again.");
  } catch {
    // nothing kept, or nothing that can be read
  }
};

// The new page takes the place of the old without losing this script or what it waits for.
const show = async (answer) => {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const fresh = page.querySelector("#record");
  if (!fresh) return void location.assign(answer.url);
  box().replaceWith(document.adoptNode(fresh));
  if (answer.redirected) history.replaceState(null, "", answer.url);
  restore();
  (document.querySelector("[data-next-focus], [role=alert] a") ?? document.querySelector("h1"))?.focus?.();
};

const send = async (action, body) => {
  try {
    await show(await fetch(action, { method: "POST", body, credentials: "same-origin" }));
    waiting = false;
  } catch {
    say("No connection. What you typed is kept on this device and is sent once when the connection is back.");
    setTimeout(() => send(action, body), RETRY_MS);
  }
};

document.addEventListener("input", (event) => event.target.form && keep(event.target.form));
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-record]")) return;
  event.preventDefault();
  if (waiting) return;
  waiting = true;
  keep(form);
  say("");
  send(form.getAttribute("action"), new FormData(form, event.submitter));
});
addEventListener("offline", () => say("No connection. You can go on typing: it is kept on this device."));
addEventListener("online", () => waiting || say("The connection is back."));
restore();
