"use strict";
// Recording where the network comes and goes: nothing typed is lost, and what is confirmed is sent once. The token of
// a form is that of the row it makes, so that sending again changes nothing. Without this file the form still works.

const PATIENCE_MS = 45_000; // an answer that takes longer is lost: the connection hangs
const QUIET_MS = 1_500;
const WAITS_MS = [3_000, 5_000, 10_000, 20_000];
const LASTING = ["variant", "part", "revision", "axle", "location", "component", "feature", "uncertainty_mm"];

const page = () => document.querySelector("#record");
const form = () => document.querySelector("[data-draft]");
const drafts = new Drafts(page().dataset.user);
let preview = null; // the form whose preview is asked for
let shown = null; // the token of the confirmed form that is looked at
let busy = false;
let tries = 0;
let timer = 0;

const say = (text, act) => {
  const line = document.querySelector("#connection");
  line.replaceChildren(text);
  line.hidden = !text;
  if (!act) return;
  const control = document.createElement(act.href ? "a" : "button");
  control.textContent = act.label;
  if (act.href) Object.assign(control, { href: act.href, target: drafts.kept ? "" : "_blank" });
  else Object.assign(control, { type: "button", className: "button plain", onclick: act.do });
  const holder = document.createElement("span");
  holder.append(control);
  line.append(holder);
};

const labelOf = (of) => [of.dataset.label, of.elements.fitted?.value].filter(Boolean).join(", ");

const keep = (of) =>
  drafts.put(of.dataset.draft, {
    action: of.getAttribute("action"), label: labelOf(of), fields: typedIn(of), at: Date.now(), send: null, trouble: "",
  });

const freshToken = () =>
  [...crypto.getRandomValues(new Uint8Array(5))].map((byte) => byte.toString(16).padStart(2, "0")).join("").toUpperCase();

// Another record of the same kind, car and joint; the one before stays among the drafts.
const another = () => {
  const of = form();
  preview = shown = null;
  document.querySelector(".preview")?.remove();
  document.querySelector("#form").textContent = "Another";
  for (const field of of.elements) {
    if (field.name === "outcome") field.checked = false;
    else if (["text", "textarea"].includes(field.type) && !LASTING.includes(field.name)) field.value = "";
  }
  const token = freshToken();
  of.dataset.draft = of.elements.token.value = token;
  if (of.elements.ref) of.elements.ref.value = `${of.dataset.prefix}-${token}`;
  say("");
  list();
};

const open = (draft) => {
  const of = form();
  fill(of, draft.fields);
  of.dataset.draft = draft.id;
  for (const more of of.querySelectorAll("details")) {
    more.open ||= [...more.querySelectorAll("input")].some((field) => field.type === "text" && field.value);
  }
  if (draft.trouble) of.requestSubmit(of.querySelector("button[value=preview]")); // what is wrong then stands at its field
  else say("What you typed before was kept on this device and stands here again.", { label: "Start afresh", do: another });
};

const restore = () => {
  const of = form();
  if (page().dataset.stored) drafts.drop(page().dataset.stored);
  if (!of || document.querySelector(".field.wrong, .preview")) return;
  const asked = drafts.get(location.hash.replace("#draft-", ""));
  const here = drafts.all().filter((draft) => draft.action === of.getAttribute("action") && !draft.send);
  const draft = asked ?? (page().dataset.stored ? null : here.at(-1));
  if (draft && !draft.send) open(draft);
};

const list = () => {
  const section = document.querySelector("#kept");
  const others = drafts.all().filter((draft) => draft.id !== form()?.dataset.draft || (draft.send && draft.id !== shown));
  section.hidden = !others.length;
  section.querySelector("ul").replaceChildren(...others.map(lineOf));
};

const lineOf = (draft) => {
  const line = document.querySelector("#kept-line").content.cloneNode(true).firstElementChild;
  const time = new Date(draft.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  line.querySelector("[data-what]").textContent = draft.label;
  line.querySelector("[data-why]").textContent = draft.send ? "waits for the connection" : draft.trouble || `typed at ${time}, not stored`;
  const link = line.querySelector("[data-open]");
  link.href = `${draft.action}#draft-${draft.id}`;
  link.hidden = Boolean(draft.send);
  const discard = line.querySelector("[data-discard]");
  discard.onclick = () => {
    if (discard.dataset.sure) return drafts.drop(draft.id), list();
    discard.dataset.sure = "yes";
    discard.textContent = "Discard for good";
  };
  return line;
};

const token = () => document.querySelector("#record [name=csrfmiddlewaretoken]")?.value ?? "";
const isSignIn = (url) => new URL(url).pathname.startsWith("/account/");

const ask = async (address, wishes) => {
  try {
    const answer = await fetch(address, { credentials: "same-origin", signal: AbortSignal.timeout(PATIENCE_MS), ...wishes });
    const content = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = content.querySelector("#record");
    return { answer, content, fresh, lost: answer.status >= 500 && !fresh, signedOut: isSignIn(answer.url) };
  } catch {
    return { lost: true };
  }
};

const post = async (action, pairs, again = true) => {
  const body = new FormData();
  body.append("csrfmiddlewaretoken", token());
  for (const [name, value] of pairs) body.append(name, value);
  const said = await ask(action, { method: "POST", body });
  if (!again || said.lost || said.signedOut || said.answer.status !== 403) return said;
  // Signed in anew elsewhere, this page's token is out of date.
  const renewed = await ask(location.href);
  const fresh = renewed.content?.querySelector("#record [name=csrfmiddlewaretoken]")?.value;
  if (renewed.lost || renewed.signedOut || !fresh) return renewed;
  for (const field of document.querySelectorAll("[name=csrfmiddlewaretoken]")) field.value = fresh;
  return post(action, pairs, false);
};

// The new page takes the place of the old without losing this script or what it waits for.
const show = (said) => {
  page().replaceWith(document.adoptNode(said.fresh));
  if (said.answer.redirected) history.replaceState(null, "", said.answer.url);
  restore();
  (document.querySelector("[data-next-focus], [role=alert] a") ?? document.querySelector("h1"))?.focus?.();
};

// Tells what keeps an answer from being one; true where sending again later may help.
const stopped = (said, action) => {
  if (said.lost) {
    const kept = drafts.kept ? "is kept on this device" : "stands here as long as this page is open";
    say(`No connection. What you typed ${kept} and is sent once when the connection is back.`, {
      label: "Record another meanwhile", do: another,
    });
  } else if (said.signedOut) {
    say(`You are signed out. What you typed ${drafts.kept ? "is kept on this device" : "stands here: keep this page open"}.`, {
      label: "Sign in again", href: `/account/sign-in/?next=${encodeURIComponent(action)}`,
    });
  } else if (!said.fresh) {
    say(`Not stored: ${said.content.querySelector("h1")?.textContent ?? said.answer.status}. What you typed is kept.`);
  } else return false;
  return true;
};

const askPreview = async () => {
  const of = preview;
  const typed = typedIn(of);
  const said = await post(of.getAttribute("action"), [...typed, ["step", "preview"]]);
  if (preview !== of) return true;
  if (stopped(said, of.getAttribute("action"))) {
    if (!said.lost) preview = null;
    return false;
  }
  if (JSON.stringify(typed) !== JSON.stringify(typedIn(of))) return true; // typed on meanwhile: asked again
  preview = null;
  show(said);
  return true;
};

const sendConfirmed = async () => {
  const stored = [];
  for (const draft of drafts.all().filter((one) => one.send)) {
    const said = await post(draft.action, draft.send);
    if (stopped(said, draft.action)) return false;
    if (said.fresh.dataset.stored) {
      drafts.drop(draft.id);
      stored.push(draft.label);
    } else {
      const wrong = said.fresh.querySelector("[role=alert] h2, [role=alert] li")?.textContent.trim();
      drafts.put(draft.id, { send: null, trouble: `Not stored: ${wrong ?? "look at it again"}` });
    }
    if (draft.id === shown) {
      shown = null;
      stored.pop();
      show(said);
    }
  }
  if (stored.length) say(`Stored: ${stored.join("; ")}.`);
  return true;
};

const send = async () => {
  clearTimeout(timer);
  if (busy) return;
  busy = true;
  const slow = setTimeout(() => say("Sending."), QUIET_MS);
  const reached = (!preview || (await askPreview())) && (await sendConfirmed());
  clearTimeout(slow);
  busy = false;
  list();
  if (reached && document.querySelector("#connection").textContent === "Sending.") say("");
  if (!preview && !drafts.all().some((draft) => draft.send)) return void (tries = 0);
  timer = setTimeout(send, reached ? 0 : WAITS_MS[Math.min(tries++, WAITS_MS.length - 1)]);
};

document.addEventListener("input", (event) => event.target.form?.matches("[data-draft]") && keep(event.target.form));
document.addEventListener("submit", (event) => {
  const of = event.target;
  if (!of.matches("[data-record]")) return;
  event.preventDefault();
  const confirmed = of.dataset.confirm;
  if (confirmed) {
    shown = confirmed;
    drafts.put(confirmed, {
      action: of.getAttribute("action"), label: labelOf(form()), fields: typedIn(form()), at: Date.now(),
      send: typedIn(of, event.submitter), trouble: "",
    });
  } else {
    keep(of);
    preview = of;
  }
  send();
});
addEventListener("hashchange", () => {
  const draft = drafts.get(location.hash.replace("#draft-", ""));
  if (draft && draft.action === form()?.getAttribute("action")) open(draft), list();
});
addEventListener("offline", () =>
  say(drafts.kept ? "No connection. You can go on typing: it is kept on this device." : "No connection. Keep this page open."));
addEventListener("online", () => {
  say("The connection is back.");
  send();
});
document.addEventListener("visibilitychange", () => document.hidden || send());
addEventListener("beforeunload", (event) => {
  if (!drafts.kept && drafts.all().length) event.preventDefault();
});

restore();
list();
if (!drafts.kept) say("This browser keeps nothing on the device: what you type is lost when the page is closed before it is stored.");
send();
