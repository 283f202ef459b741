// @ts-check
// The page's own half: it moves focus, edits cells and puts in what the engine renders. It judges nothing itself.
// What a button, a form or a field asks stands in its attributes: DEVELOPERS.md lists them.
"use strict";
(() => {
  /** @typedef {{path: string, what: string, right: string}} RefusedCell */
  /** @typedef {{what: string, right: string}} Problem */
  /** @typedef {{hash: string, html?: string}} Fragment */
  /** @typedef {{ok: boolean, result?: any, problems?: Problem[], behind?: boolean, version: number, open: string|null, unsaved?: number}} Reply */
  /** @typedef {{place?: string, fragments?: Record<string, Fragment>, notice?: string, spoken?: string, title?: string, text?: string}} Shown */
  /** @typedef {{parts?: Record<string, string>, dialog?: {title: string, html: string}, close?: boolean, file?: {name: string, type: string, base64: string}, say?: string, focus?: string[], go?: string}} Done */
  /** @typedef {Reply & Shown & Done} Answer */

  const FIRST = "/site/cameras";
  const PAGE_ROWS = 10;
  const SPEAK_AFTER = 600;
  const LOOK_EVERY = 4000;
  const JOIN_WITHIN = 4000;
  const LIVE_AFTER = 120;
  const BUSY_AFTER = 1000;
  const PROGRESS_EVERY = 400;
  const TOLD_EVERY = 5000;
  const TAB_EVERY = 1000;
  const TAB_LEASE = 4000;

  const state = {
    token: "",
    at: FIRST,
    version: 0,
    open: /** @type {string|null} */ (null),
    place: "",
    unsaved: 0,
    finding: ["", ""],
    have: /** @type {Record<string, string>} */ ({}),
    text: "",
    textVersion: -1,
    disk: "same",
    cell: "",
    anchor: "",
    lost: false,
    reading: false,
  };
  let waiting = 0;
  let count = 0;
  let shown = 0;
  /** @type {Promise<unknown>} */
  let chain = Promise.resolve();

  /** @param {string} id @returns {HTMLElement} */
  function at(id) {
    const found = document.getElementById(id);
    if (!found) throw new Error(`no ${id}`);
    return found;
  }
  /** @param {string} id */
  const seek = (id) => document.getElementById(id);
  /** @param {EventTarget|null} target */
  const element = (target) => (target instanceof Element ? target : null);

  // ---- Asking -------------------------------------------------------------------------------------------------

  /** The engine in this very page, where there is no server. */
  const host = () => /** @type {any} */ (window).coaxwrightHost;

  /** What the page shows, and what it has of that. */
  const view = () => ({ at: state.at, finding: state.finding, have: state.have, text: state.textVersion, reading: state.reading });

  /** One request, outside of the order of edits. @param {string} what @param {object} rest @returns {Promise<Answer>} */
  async function call(what, rest = {}) {
    await reopened;
    return request(what, rest);
  }

  /** What is asked outside of the order of edits waits for it: the site is open again in an engine that was started anew. @type {Promise<unknown>} */
  let reopened = Promise.resolve();

  /** @param {string} what @param {object} rest @returns {Promise<Answer>} */
  async function request(what, rest = {}) {
    const yields = "soon" in rest || "live" in rest;
    const body = JSON.stringify({ version: state.version, ...rest, id: ++count, do: what });
    return host() ? JSON.parse(await host().ask(body, yields)) : posted("/ask", body);
  }

  /** What is answered while something else is being worked on. @param {string} what @returns {Promise<{progress: string}>} */
  const now = (what) => (host() ? host().now(what) : posted("/now", JSON.stringify({ do: what })));

  /** @param {string} to @param {string} body @returns {Promise<any>} */
  async function posted(to, body) {
    const reply = await fetch(to, {
      method: "POST",
      headers: { "Content-Type": "application/json", Authorization: `Bearer ${state.token}` },
      body,
      cache: "no-store",
      credentials: "omit",
      referrerPolicy: "no-referrer",
    });
    if (!reply.ok) throw new Error(reply.status === 401 ? "token" : `status ${reply.status}`);
    return reply.json();
  }

  /** A request in its turn, whose answer is shown unless a later one waits. @param {string} what @param {object} rest */
  function ask(what, rest = {}) {
    waiting += 1;
    const done = chain.then(() => send(what, rest));
    chain = done.catch(() => undefined);
    return done;
  }

  /** @param {string} what @param {object} rest @returns {Promise<Answer|undefined>} */
  async function send(what, rest) {
    const slow = setTimeout(() => document.body.classList.add("judging"), 300);
    const idle = watched(what === "set" || what === "text" ? "Judging" : "Working", true);
    try {
      let again = "";
      const answer = await call(what, { ...rest, view: view() }).catch(async (error) => {
        again = await revived(error);
        return call(what === "undo" || what === "redo" ? "look" : what, { ...rest, view: view() });
      });
      state.version = answer.version;
      if (state.lost) found();
      if (waiting <= 1 || !answer.ok) show(answer);
      if (!answer.ok) closeDialog();
      after(answer);
      if (again) notify(again, "err");
      if (answer.behind && waiting <= 1) queueMicrotask(() => ask("look"));
      return answer;
    } catch (error) {
      lost(error instanceof Error ? error.message : "", true);
      return undefined;
    } finally {
      clearTimeout(slow);
      idle();
      waiting -= 1;
      if (waiting === 0) document.body.classList.remove("judging");
    }
  }

  /** Say how far something is while it takes long; returns what ends that. @param {string} verb @param {boolean} bar */
  function watched(verb, bar) {
    const begun = Date.now();
    let told = begun - TOLD_EVERY + 2000;
    let over = false;
    const timer = setInterval(async () => {
      if (Date.now() - begun < BUSY_AFTER) return;
      const { progress } = await now("progress").catch(() => ({ progress: "" }));
      if (over) return;
      if (bar && !(/** @type {HTMLDialogElement} */ (at("dialog")).open)) at("busy").hidden = false;
      for (const each of document.querySelectorAll("[data-progress]")) each.textContent = progress ? `${progress}.` : "";
      if (!progress || Date.now() - told < TOLD_EVERY) return;
      told = Date.now();
      say(`${verb}, ${progress}.`);
    }, PROGRESS_EVERY);
    return () => {
      over = true;
      clearInterval(timer);
      if (bar) at("busy").hidden = true;
    };
  }

  /** The named fields of a form, or of one field. @param {Element} place */
  function fields(place) {
    /** @type {Record<string, any>} */
    const found = {};
    for (const each of place instanceof HTMLFormElement ? place.elements : [place]) {
      const field = /** @type {HTMLInputElement} */ (each);
      if (!field.name || (field.type === "radio" && !field.checked)) continue;
      if (field.type === "checkbox") found[field.name] = field.checked;
      else if (field.type === "range" || field.type === "number") found[field.name] = field.valueAsNumber;
      else found[field.name] = combo.list && combo.field === field && field.hasAttribute("data-follow") ? picked()?.dataset.value ?? field.value : field.value;
    }
    return found;
  }

  /** What goes with a request: `data-args`, the row that was last in focus, the fields of the form. @param {HTMLElement} from */
  function args(from) {
    const row = seek(state.cell)?.parentElement?.firstElementChild;
    const path = row instanceof HTMLElement ? row.dataset.row ?? "" : "";
    const form = from.dataset.form ? seek(from.dataset.form) : from;
    return {
      ...JSON.parse(from.dataset.args ?? "{}"),
      ...(from.hasAttribute("data-of-row") ? { path, subject: path.slice(1) } : {}),
      ...(form ? fields(form) : {}),
    };
  }

  /** Whatever a button or a form asks for. @param {HTMLElement} from */
  async function act(from) {
    const name = from.dataset.do ?? "";
    from.closest("details.menu")?.removeAttribute("open");
    if (editing) end(true);
    const rest = args(from);
    if (Object.hasOwn(ACTS, name)) return ACTS[name](rest);
    if (from.dataset.pick !== undefined) rest.files = await chosenFiles(from.dataset.pick, from.hasAttribute("data-many"));
    if (from.dataset.wait) dialog(from.dataset.wait, /** @type {HTMLTemplateElement} */ (at("working")).content.cloneNode(true));
    return ask(name, rest);
  }

  let living = 0;
  let newest = 0;
  /** What a field asks while it is typed into; only the newest answer counts. @param {Element} field */
  function live(field) {
    const from = field.closest("[data-live]");
    if (!(from instanceof HTMLElement)) return;
    clearTimeout(living);
    const mine = ++newest;
    living = setTimeout(async () => {
      const answer = await call(from.dataset.live ?? "", { ...args(from), live: true }).catch(() => undefined);
      if (!answer || mine !== newest || !from.isConnected) return;
      show(answer);
      after(answer);
      if (answer.result?.valuetext) field.setAttribute("aria-valuetext", answer.result.valuetext);
    }, LIVE_AFTER);
  }

  let looking = false;
  let halted = false;
  /** What the page wants once nothing else is asked, beside everything else: what is newer goes before it. */
  async function soon() {
    const from = document.querySelector("[data-soon]");
    if (looking || !(from instanceof HTMLElement) || state.lost) return;
    looking = true;
    const mark = shown;
    const idle = watched("Looking", false);
    try {
      const asked = { ...args(from), soon: true, halted, view: view() };
      halted = false;
      const answer = await call(from.dataset.soon ?? "", asked);
      if (shown === mark && !waiting) show(answer);
    } catch (error) {
      lost(error instanceof Error ? error.message : "");
    } finally {
      looking = false;
      idle();
      if (document.querySelector("[data-soon]") && !state.lost) setTimeout(soon, waiting ? 300 : 30);
    }
  }

  // ---- Showing ------------------------------------------------------------------------------------------------

  const policy = trusted();

  /** The one place where text becomes elements: only what the engine rendered. */
  function trusted() {
    const make = { createHTML: (/** @type {string} */ html) => html };
    const types = /** @type {any} */ (window).trustedTypes;
    return types ? types.createPolicy("desk", make) : make;
  }

  /** @param {string} html @returns {DocumentFragment} */
  function parsed(html) {
    const template = document.createElement("template");
    template.innerHTML = policy.createHTML(html);
    return template.content;
  }

  /** Put in what changed on the page. @param {Answer} answer */
  function show(answer) {
    shown += 1;
    const focused = document.activeElement;
    const id = focused instanceof HTMLElement || focused instanceof SVGElement ? focused.id : "";
    const region = focused ? focused.closest("section, #f-bar, #notice, #f-start, #f-room") : null;
    const other = Boolean(answer.place) && answer.place !== state.place;
    if (answer.open !== state.open) state.textVersion = -1;
    state.open = answer.open;
    state.unsaved = answer.unsaved ?? 0;
    if (answer.place) state.place = answer.place;
    for (const [name, fragment] of Object.entries(answer.fragments ?? {})) put(name, fragment);
    for (const [name, html] of Object.entries(answer.parts ?? {})) {
      const part = seek(name);
      if (part) morph(part, parsed(html));
    }
    if (answer.notice !== undefined) morph(at("notice"), parsed(answer.notice));
    else if (!answer.ok) notify((answer.problems ?? []).map(sentence).join(" "));
    if (answer.title) document.title = answer.title;
    if (answer.text !== undefined) Object.assign(state, { text: answer.text, textVersion: answer.version });
    fillText();
    rove();
    speak(answer.spoken ?? "", answer.say);
    if (document.activeElement === document.body && (id || region)) refocus(id, region);
    if (other) opened();
    soon();
  }

  /** What an answer brings besides: it is done even where a later request waits. @param {Answer} answer */
  function after(answer) {
    if (answer.go) address(answer.go, true);
    if (answer.close) closeDialog();
    if (answer.dialog) dialog(answer.dialog.title, parsed(answer.dialog.html));
    if (answer.file) offer(answer.file.name, answer.file.type, Uint8Array.from(atob(answer.file.base64), (sign) => sign.charCodeAt(0)));
    const target = (answer.focus ?? []).map(seek).find(Boolean);
    if (target instanceof HTMLTableCellElement) go(target);
    else target?.focus();
    keepDraft();
    if (host() && !state.reading) keepFolder();
  }

  /** @param {string} name @param {Fragment} fragment */
  function put(name, fragment) {
    const region = seek(`f-${name}`);
    state.have[name] = fragment.hash;
    if (!region || fragment.html === undefined) return;
    morph(region, parsed(fragment.html));
    region.hidden = fragment.html === "";
  }

  /** Focus that was lost with what had it: the same id, else the heading of the region, else the page's. @param {string} id @param {Element|null} region */
  function refocus(id, region) {
    const same = id ? seek(id) : null;
    const heading = region && region.isConnected ? region.querySelector("[tabindex='-1']") : null;
    const next = same ?? heading ?? seek("h1");
    if (next instanceof HTMLElement || next instanceof SVGElement) next.focus({ preventScroll: true });
  }

  /** Make `old` hold what `fresh` holds, keeping every element that stays, and with it focus and selection. @param {Element} old @param {Node} fresh */
  function morph(old, fresh) {
    const named = new Map([...old.children].filter((each) => each.id).map((each) => [each.id, each]));
    let place = old.firstChild;
    for (const next of [...fresh.childNodes]) {
      const id = next instanceof Element ? next.id : "";
      /** @type {ChildNode|null|undefined} */
      let match = id ? named.get(id) : null;
      if (!id && place && place.nodeName === next.nodeName && !(place instanceof Element && place.id)) match = place;
      if (!match) {
        old.insertBefore(next, place);
        continue;
      }
      if (match !== place) old.insertBefore(match, place);
      place = match.nextSibling;
      turn(match, next);
    }
    while (place) {
      const after = place.nextSibling;
      place.remove();
      place = after;
    }
  }

  /** @param {ChildNode} old @param {ChildNode} next */
  function turn(old, next) {
    if (old.isEqualNode(next)) return;
    if (!(old instanceof Element) || !(next instanceof Element)) {
      if (old.nodeType === next.nodeType) old.nodeValue = next.nodeValue;
      else old.replaceWith(next);
      return;
    }
    if (old.nodeName !== next.nodeName) {
      old.replaceWith(next);
      return;
    }
    attributes(old, next);
    if (old.hasAttribute("data-editing") || old.nodeName === "TEXTAREA") return;
    morph(old, next);
  }

  const KEPT = new Set(["tabindex", "open", "data-editing", "aria-selected", "aria-invalid"]);

  /** @param {Element} old @param {Element} next */
  function attributes(old, next) {
    const grid = old.getAttribute("role") === "gridcell" || old.getAttribute("role") === "rowheader";
    for (const each of [...old.attributes]) {
      const keeps = KEPT.has(each.name) && (grid || each.name === "open" || each.name === "data-editing");
      if (!next.hasAttribute(each.name) && !keeps) old.removeAttribute(each.name);
    }
    for (const each of [...next.attributes]) {
      if (grid && each.name === "tabindex") continue;
      if (old.getAttribute(each.name) !== each.value) {
        if (grid && each.name === "data-text") fresh(old);
        old.setAttribute(each.name, each.value);
      }
    }
  }

  /** @param {Element} cell */
  function fresh(cell) {
    cell.classList.remove("fresh");
    requestAnimationFrame(() => cell.classList.add("fresh"));
  }

  let speaking = 0;
  let spoken = "";
  let before = "";
  /** Said once, when things have settled, and only if it differs; `first` is said even so. @param {string} words @param {string} first */
  function speak(words, first = "") {
    if (first) {
      before = `${first} `;
      spoken = "";
    }
    clearTimeout(speaking);
    speaking = setTimeout(() => {
      const all = `${before}${words}`.trim();
      before = "";
      if (all === spoken || !all) return;
      spoken = all;
      at("live").textContent = all;
    }, SPEAK_AFTER);
  }

  /** @param {string} words */
  const say = (words) => speak("", words);

  /** A notice that the page makes itself: words and buttons. @param {string} words @param {string} kind @param {[string, string][]} acts words and act of each button */
  function notify(words, kind = "warn", acts = [["Close", "dismiss"]]) {
    const box = document.createElement("div");
    box.className = `say ${kind}`;
    if (kind === "err") box.setAttribute("role", "alert");
    const text = document.createElement("p");
    text.textContent = words;
    const buttons = document.createElement("div");
    buttons.className = "acts";
    for (const [told, what] of acts) {
      const button = Object.assign(document.createElement("button"), { type: "button", textContent: told });
      button.dataset.do = what;
      buttons.append(button);
    }
    box.append(text, buttons);
    at("notice").replaceChildren(box);
  }

  /** @param {Problem} problem */
  function sentence(problem) {
    const upper = (/** @type {string} */ text) => text.charAt(0).toUpperCase() + text.slice(1);
    return `${upper(problem.what)}.${problem.right ? ` ${upper(problem.right)}.` : ""}`;
  }

  /** @param {string} title @param {Node} content */
  function dialog(title, content) {
    const box = /** @type {HTMLDialogElement} */ (at("dialog"));
    at("dialog-title").textContent = title;
    at("dialog-body").replaceChildren(content);
    if (!box.open) box.showModal();
    const field = box.querySelector("input[type=text]") ?? at("dialog-title");
    if (field instanceof HTMLElement) field.focus();
  }

  const closeDialog = () => /** @type {HTMLDialogElement} */ (at("dialog")).close();

  // ---- When the desk does not answer -----------------------------------------------------------------------------

  /** The engine in this page has ended: another one is given the folder and the text. What to say of it. @param {Error} error */
  async function revived(error) {
    const { open, text, unsaved } = state;
    if (!host()?.anew()) throw error;
    const again = async () => {
      await restoreFolder();
      if (open) state.version = (await request("open", { name: open })).version;
      if (open && unsaved) state.version = (await request("text", { text })).version;
    };
    const done = again();
    reopened = done.catch(() => undefined);
    await done;
    Object.assign(state, { have: {}, textVersion: -1 });
    return `The checker had ended and was started again. ${open ? "Your text is as it was; what you did before is now one step of Undo." : ""}`;
  }

  /** @param {string} why @param {boolean} tried whether an engine in this page was started again in vain */
  function lost(why, tried = false) {
    if (host() && why === "gone" && !tried) {
      if (!waiting) ask("look");
      return;
    }
    state.lost = true;
    const old = why === "token";
    const words = old
      ? "This page belongs to an earlier start of the desk. Open the address that it printed now."
      : host()
        ? "The checker in this page has ended. Your changes are kept in this page."
        : "The desk has stopped answering. Your changes are kept in this page. Start it again with `coaxwright desk`.";
    /** @type {[string, string][]} */
    const acts = [];
    if (!old) acts.push(["Try again", "again"]);
    if (state.text) acts.push(["Download a copy", "rescue"]);
    notify(words, "err", acts);
  }

  function found() {
    state.lost = false;
    at("notice").replaceChildren();
  }

  // ---- Drafts: the text as edited, kept by the browser until it is saved --------------------------------------------

  /** @param {string} key @returns {any} */
  function stored(key) {
    try {
      return JSON.parse(localStorage.getItem(key) ?? "null");
    } catch {
      return null;
    }
  }

  /** @param {string} key @param {any} value null takes it away */
  function store(key, value) {
    try {
      if (value === null) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(value));
    } catch {
      /* No room, or no storage: the desk itself still has the text, and saving gives a file. */
    }
  }

  const draftKey = () => `draft:${state.place}`;

  function keepDraft() {
    if (!state.place || state.reading) return;
    if (state.unsaved > 0) store(draftKey(), { text: state.text, at: Date.now() });
    else if (state.textVersion > 0) store(draftKey(), null);
  }

  /** Another site is open now. */
  function opened() {
    state.finding = ["", ""];
    if (host()) store("last", state.open);
    if (!claimed()) offerDraft();
  }

  // One tab edits a site, the others read it: who does says so in the browser's storage, again and again.

  const self = `${Date.now()}-${Math.random()}`;
  const holderKey = () => `tab:${state.place}`;

  /** Whether another tab edits this site; where none does, this one. */
  function claimed() {
    const holder = stored(holderKey());
    const other = holder && holder.id !== self && holder.id !== "free" && Date.now() - holder.at < TAB_LEASE;
    if (state.open && !other) store(holderKey(), { id: self, at: Date.now() });
    if (state.open && Boolean(other) !== state.reading) {
      state.reading = Boolean(other);
      ask("look");
    }
    return state.reading;
  }

  /** Edit here: the other tab reads from now on. Without a server, what that one kept is laid out anew. */
  function takeOver() {
    store(holderKey(), { id: host() ? "free" : self, at: Date.now() });
    if (host()) location.reload();
    claimed();
  }

  function offerDraft() {
    const draft = stored(draftKey());
    if (!draft || typeof draft.text !== "string" || draft.text === state.text || state.unsaved > 0) return;
    const words = `Changes of yours from ${new Date(draft.at).toLocaleString()} were not saved.`;
    notify(words, "warn", [["Take them up again", "take-draft"], ["Forget them", "forget-draft"]]);
  }

  let keeping = 0;
  /** @type {Record<string, string>|null} */
  let folder = null;
  /** Without a server the browser keeps the folder, so that a reload loses nothing. */
  function keepFolder() {
    clearTimeout(keeping);
    keeping = setTimeout(async () => {
      const answer = await call("folder").catch(() => undefined);
      if (answer) store("folder", (folder = answer.result.files));
    }, 800);
  }

  /** What the browser kept of the folder, laid out again. */
  async function restoreFolder() {
    const files = Object.entries(folder ?? stored("folder") ?? {});
    if (files.length) await request("bring", { replace: true, files: files.map(([name, base64]) => ({ name, base64 })) });
  }

  // ---- The file as text ------------------------------------------------------------------------------------------

  let typing = 0;
  let typed = 0;
  function textField() {
    const field = seek("file-text");
    return field instanceof HTMLTextAreaElement ? field : null;
  }

  function fillText() {
    const field = textField();
    if (!field || typing) return;
    const text = state.text.replace(/\r\n/g, "\n");
    if (field.value === text) return;
    const from = field.selectionStart;
    field.value = text;
    if (document.activeElement === field) field.setSelectionRange(from, from);
  }

  /** @param {HTMLTextAreaElement} field */
  function textTyped(field) {
    clearTimeout(typing);
    typing = setTimeout(() => sendText(field), 250);
  }

  /** @param {HTMLTextAreaElement} field */
  function sendText(field) {
    clearTimeout(typing);
    typing = 0;
    const joins = Date.now() - typed < JOIN_WITHIN;
    typed = Date.now();
    return ask("text", { text: field.value, joins });
  }

  /** @param {number} line */
  async function goToLine(line) {
    await visit("/site/text");
    const field = textField();
    if (!field) return;
    const lines = field.value.split("\n");
    const from = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    field.focus();
    field.setSelectionRange(from, from + (lines[line - 1] ?? "").length);
    field.scrollTop = Math.max(0, (field.scrollHeight / lines.length) * (line - 4));
  }

  // ---- The grid: moving -------------------------------------------------------------------------------------------

  function grid() {
    const found = seek("grid");
    return found instanceof HTMLTableElement ? found : null;
  }

  /** @returns {HTMLTableCellElement[][]} */
  function cells() {
    const body = grid()?.tBodies[0];
    return body ? [...body.rows].map((row) => [...row.cells]) : [];
  }

  /** @param {EventTarget|null} target @returns {HTMLTableCellElement|null} */
  function cellOf(target) {
    const cell = target instanceof Element ? target.closest("#grid tbody th, #grid tbody td") : null;
    return cell instanceof HTMLTableCellElement ? cell : null;
  }

  /** Exactly one cell of the grid is in the order of Tab. */
  function rove() {
    const all = cells().flat();
    const now = all.find((cell) => cell.id === state.cell) ?? all[0];
    if (!now) return;
    state.cell = now.id;
    for (const cell of all) {
      const wanted = cell === now ? "0" : "-1";
      if (cell.getAttribute("tabindex") !== wanted) cell.setAttribute("tabindex", wanted);
    }
  }

  /** @param {HTMLTableCellElement|undefined} cell @param {boolean} extend */
  function go(cell, extend = false) {
    if (!cell) return;
    if (!extend) state.anchor = cell.id;
    state.cell = cell.id;
    rove();
    cell.focus();
    cell.scrollIntoView({ block: "nearest", inline: "nearest" });
    mark();
  }

  /** @param {string} id @returns {[number, number]} */
  function whereIs(id) {
    const rows = cells();
    for (let row = 0; row < rows.length; row += 1) {
      const column = rows[row].findIndex((cell) => cell.id === id);
      if (column >= 0) return [row, column];
    }
    return [0, 0];
  }

  /** The selected block, as rows of cells. */
  function block() {
    const rows = cells();
    const [a, b] = whereIs(state.cell);
    const [c, d] = state.anchor ? whereIs(state.anchor) : [a, b];
    const picked = rows.slice(Math.min(a, c), Math.max(a, c) + 1);
    return picked.map((row) => row.slice(Math.min(b, d), Math.max(b, d) + 1));
  }

  function mark() {
    const picked = new Set(block().flat());
    const many = picked.size > 1;
    for (const cell of cells().flat()) {
      const on = many && picked.has(cell);
      if (on !== (cell.getAttribute("aria-selected") === "true")) {
        if (on) cell.setAttribute("aria-selected", "true");
        else cell.removeAttribute("aria-selected");
      }
    }
  }

  /** @param {HTMLTableCellElement} cell @param {number} down @param {number} right @param {boolean} extend */
  function step(cell, down, right, extend) {
    const rows = cells();
    const [row, column] = whereIs(cell.id);
    const to = Math.min(Math.max(row + down, 0), rows.length - 1);
    const line = rows[to] ?? [];
    go(line[Math.min(Math.max(column + right, 0), line.length - 1)], extend);
  }

  /** @param {KeyboardEvent} event @param {HTMLTableCellElement} cell */
  function gridKey(event, cell) {
    const control = event.ctrlKey || event.metaKey;
    const rows = cells();
    const [row] = whereIs(cell.id);
    const far = 1e6;
    /** @type {Record<string, [number, number]>} */
    const moves = {
      ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1], PageUp: [-PAGE_ROWS, 0], PageDown: [PAGE_ROWS, 0],
      Home: control ? [-far, -far] : [0, -far], End: control ? [far, far] : [0, far],
    };
    const move = moves[event.key];
    if (event.key === "Enter" && event.altKey) openFinding(cell.dataset.find);
    else if (move && !event.altKey && (!control || event.key === "Home" || event.key === "End")) step(cell, move[0], move[1], event.shiftKey);
    else if (event.key === "Enter" || event.key === "F2") edit(cell, null);
    else if (event.key === "F8") nextFault(event.shiftKey ? -1 : 1);
    else if (event.key === "Delete") clear();
    else if (event.key === "Escape") go(rows[row] && cell);
    else if (event.key.length === 1 && !control && !event.altKey && event.key !== "?") edit(cell, event.key);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @param {number} way */
  function nextFault(way) {
    const all = cells().flat();
    const place = all.findIndex((cell) => cell.id === state.cell);
    for (let step = 1; step <= all.length; step += 1) {
      const cell = all[(place + way * step + all.length * 2) % all.length];
      if (cell.dataset.find && cell.nodeName === "TD") return go(cell);
    }
    return say("No cell here has a finding.");
  }

  /** @param {string|undefined} key */
  function openFinding(key) {
    if (!key) return;
    const [rule, ...subject] = key.split(" on ");
    state.finding = [rule, subject.join(" on ")];
    ask("look").then(() => {
      const open = document.querySelector(".todo button[aria-expanded='true']");
      if (!(open instanceof HTMLElement)) return;
      open.closest("details")?.setAttribute("open", "");
      open.focus();
      open.scrollIntoView({ block: "nearest" });
    });
  }

  // ---- The grid: editing -------------------------------------------------------------------------------------------

  /** @type {{cell: HTMLTableCellElement, input: HTMLInputElement, kept: ChildNode[]}|null} */
  let editing = null;

  /** @param {HTMLTableCellElement} cell */
  const canEdit = (cell) => Boolean(cell.dataset.path || cell.dataset.name) && cell.getAttribute("aria-readonly") !== "true";

  /** @param {HTMLTableCellElement} cell */
  function label(cell) {
    const row = cell.parentElement?.firstElementChild;
    const name = row instanceof HTMLElement ? row.dataset.name ?? row.dataset.row ?? "" : "";
    return cell.dataset.name ? `Name of ${cell.dataset.name}` : `${name}, ${cell.dataset.label ?? ""}`;
  }

  /** Edit a cell: with what stands in it selected, or begun with a letter. @param {HTMLTableCellElement} cell @param {string|null} begun @param {RefusedCell|null} refused */
  function edit(cell, begun, refused = null) {
    if (state.reading) return say("This tab is to read. Press Edit here instead.");
    if (!canEdit(cell)) return say(cell.title || "This is worked out, not written.");
    end(false);
    const input = document.createElement("input");
    Object.assign(input, { type: "text", autocomplete: "off", spellcheck: false, value: begun ?? cell.dataset.text ?? cell.dataset.name ?? "" });
    input.setAttribute("aria-label", label(cell));
    if (cell.dataset.hint) input.placeholder = cell.dataset.hint;
    editing = { cell, input, kept: [...cell.childNodes] };
    cell.dataset.editing = "yes";
    cell.replaceChildren(input);
    const listed = cell.dataset.path && /^(part|port|choice)/.test(cell.dataset.holds ?? "");
    if (listed) {
      for (const [name, value] of [["role", "combobox"], ["aria-autocomplete", "list"], ["aria-expanded", "false"], ["data-complete", "options"]]) input.setAttribute(name, value);
      input.dataset.args = JSON.stringify({ path: cell.dataset.path });
    }
    input.focus();
    if (begun === null) input.select();
    else input.setSelectionRange(begun.length, begun.length);
    if (refused) showRefusal(input, refused);
    else if (listed) complete(input, begun === null);
    return undefined;
  }

  /** @param {HTMLInputElement} input @param {RefusedCell} refused */
  function showRefusal(input, refused) {
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", "refusal");
    const box = Object.assign(document.createElement("div"), { className: "pick refusal", id: "refusal", textContent: sentence(refused) });
    box.setAttribute("role", "alert");
    at("main").append(box);
    settle(box, input);
  }

  /** Put a box below a field, inside the window. @param {HTMLElement} box @param {HTMLElement} field */
  function settle(box, field) {
    const where = field.getBoundingClientRect();
    const wide = Math.min(400, document.documentElement.clientWidth - 16);
    const left = Math.max(8, Math.min(where.left, document.documentElement.clientWidth - wide - 8));
    box.style.width = `${wide}px`;
    box.style.left = `${left + window.scrollX}px`;
    box.style.top = `${where.bottom + window.scrollY}px`;
  }

  /** Leave the edit. @param {boolean} keep whether what was typed is to be taken @param {boolean} down */
  function end(keep, down = false) {
    const was = editing;
    if (!was) return;
    editing = null;
    closeList();
    seek("refusal")?.remove();
    const typedText = was.input.value.trim();
    const inside = was.cell.contains(document.activeElement);
    was.cell.replaceChildren(...was.kept);
    delete was.cell.dataset.editing;
    if (inside) was.cell.focus();
    const old = was.cell.dataset.text ?? was.cell.dataset.name ?? "";
    if (keep && typedText !== old) take(was.cell, typedText);
    if (down) step(was.cell, 1, 0, false);
  }

  /** @param {HTMLTableCellElement} cell @param {string} text */
  async function take(cell, text) {
    const path = cell.dataset.path;
    if (!path) {
      await ask("rename", { group: (cell.dataset.row ?? "").split("/")[1], name: cell.dataset.name, to: text });
      return;
    }
    cell.textContent = text;
    cell.classList.add("pending");
    const answer = await ask("set", { cells: [{ path, text }], in_place: true });
    cell.classList.remove("pending");
    const refused = answer?.result?.refused?.[0];
    if (answer && (!answer.ok || refused)) {
      cell.textContent = cell.dataset.text ?? "";
      delete state.have.site;
      ask("look");
    }
    if (!refused) return;
    const here = seek(cell.id);
    const focused = document.activeElement;
    if (here instanceof HTMLTableCellElement && !editing && (focused === document.body || cellOf(focused))) {
      go(here);
      edit(here, text, refused);
    } else notify(`${label(cell)}: “${text}” was not taken. ${sentence(refused)}`);
  }

  function clear() {
    const wanted = block().flat().filter((cell) => canEdit(cell) && cell.dataset.path && cell.dataset.text);
    const texts = wanted.map((cell) => ({ path: cell.dataset.path, text: "" }));
    if (texts.length) ask("set", { cells: texts, name: texts.length > 1 ? `${texts.length} cells cleared` : "" });
  }

  // ---- Completion: a field with `data-complete` and the list below it ----------------------------------------------

  const combo = { field: /** @type {HTMLInputElement|null} */ (null), list: /** @type {HTMLElement|null} */ (null), chosen: -1, turn: 0 };

  const picked = () => /** @type {HTMLElement|null} */ (combo.list?.querySelector("[aria-selected=true]") ?? null);

  /** @param {HTMLInputElement} field @param {boolean} all whether everything is offered, whatever stands in the field */
  async function complete(field, all = false) {
    const mine = ++combo.turn;
    const what = field.dataset.complete;
    if (!what) return;
    const rest = { ...(field.form ? fields(field.form) : {}), ...args(field), text: all ? "" : field.value };
    const answer = await call(what, rest).catch(() => undefined);
    if (!answer?.ok || mine !== combo.turn || document.activeElement !== field) return;
    closeList();
    const list = Object.assign(document.createElement("ul"), { className: "pick", id: "pick" });
    list.append(parsed(answer.result.html));
    list.setAttribute("role", answer.result.count ? "listbox" : "presentation");
    list.setAttribute("aria-label", `${field.getAttribute("aria-label") ?? field.labels?.[0]?.textContent ?? ""}: ${answer.result.count} to choose from`);
    at("main").append(list);
    settle(list, field);
    Object.assign(combo, { field, list, chosen: -1 });
    field.setAttribute("aria-expanded", answer.result.count ? "true" : "false");
    field.setAttribute("aria-controls", "pick");
    say(answer.result.spoken ?? "");
    if (field.hasAttribute("data-follow") && !all) choose(1);
  }

  function closeList() {
    combo.turn += 1;
    combo.list?.remove();
    combo.field?.setAttribute("aria-expanded", "false");
    combo.field?.removeAttribute("aria-controls");
    combo.field?.removeAttribute("aria-activedescendant");
    Object.assign(combo, { field: null, list: null, chosen: -1 });
  }

  /** @param {number} way */
  function choose(way) {
    const items = [...(combo.list?.querySelectorAll("[role=option]") ?? [])];
    if (!items.length || !combo.field) return;
    combo.chosen = (combo.chosen + way + items.length + (combo.chosen < 0 && way < 0 ? 1 : 0)) % items.length;
    items.forEach((item, place) => item.setAttribute("aria-selected", String(place === combo.chosen)));
    combo.field.setAttribute("aria-activedescendant", items[combo.chosen].id);
    items[combo.chosen].scrollIntoView({ block: "nearest" });
    if (combo.field.hasAttribute("data-follow")) live(combo.field);
  }

  /** Take an option: into the cell, or into the field, which then asks what it asks. @param {HTMLElement} option */
  function pick(option) {
    const field = combo.field;
    if (!field) return;
    field.value = option.dataset.value ?? "";
    closeList();
    if (editing) end(true);
    else live(field);
  }

  /** Keys of a field with a list. @param {KeyboardEvent} event @param {HTMLInputElement} field */
  function listKey(event, field) {
    const { key } = event;
    const chosen = picked();
    if ((key === "ArrowDown" || key === "ArrowUp") && combo.list) choose(key === "ArrowDown" ? 1 : -1);
    else if (key === "ArrowDown" || key === "ArrowUp" || (key === "F2" && !combo.list)) complete(field, key === "F2");
    else if (key === "Escape" || (key === "F2" && combo.list)) {
      const open = combo.list !== null;
      closeList(); // and whatever list is on its way
      return open;
    } else if (key === "Enter" && chosen && !editing) pick(chosen);
    else return false;
    return true;
  }

  /** @param {KeyboardEvent} event */
  function editKey(event) {
    const { key } = event;
    if (!editing) return;
    if (editing.input.dataset.complete && listKey(event, editing.input)) event.preventDefault();
    else if (key === "Enter") {
      editing.input.value = picked()?.dataset.value ?? editing.input.value;
      end(true, true);
    } else if (key === "Escape") end(false);
    else if (key === "F2") { /* Nothing to choose from. */ }
    else {
      if (key === "Tab") end(true);
      return;
    }
    event.preventDefault();
    event.stopPropagation();
  }

  // ---- Copy, files --------------------------------------------------------------------------------------------------

  /** @param {HTMLTableCellElement} cell */
  const plain = (cell) => cell.dataset.text ?? cell.dataset.name ?? cell.querySelector("b")?.textContent ?? cell.textContent ?? "";

  /** @param {string} name @param {string} type @param {Uint8Array} data */
  function offer(name, type, data) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([/** @type {any} */ (data)], { type }));
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  /** @param {string} accept @param {boolean} multiple @returns {Promise<{name: string, base64: string}[]>} */
  function chosenFiles(accept, multiple) {
    const field = Object.assign(document.createElement("input"), { type: "file", accept, multiple });
    return new Promise((done) => {
      field.addEventListener("change", async () => done(await Promise.all([...(field.files ?? [])].map(encoded))));
      field.click();
    });
  }

  /** @param {File} file */
  async function encoded(file) {
    let text = "";
    for (const byte of new Uint8Array(await file.arrayBuffer())) text += String.fromCharCode(byte);
    return { name: file.name, base64: btoa(text) };
  }

  /** The words of an element to the clipboard; where the browser lets nobody, they are selected. @param {HTMLElement} from */
  async function copyWords(from) {
    const words = from.innerText;
    getSelection()?.selectAllChildren(from);
    const copied = await navigator.clipboard?.writeText(words).then(() => true, () => false) || document.execCommand("copy");
    if (copied) getSelection()?.removeAllRanges();
    notify(copied ? "The words are copied." : "The browser does not copy by itself: the words are selected, press Ctrl+C.", copied ? "ok" : "warn");
    say(copied ? "Copied." : "Press Control C.");
  }

  // ---- Addresses ----------------------------------------------------------------------------------------------------

  /** Where the page is, in the address of the window. @param {string} to @param {boolean} instead of the address before */
  function address(to, instead) {
    if (state.at !== to) state.anchor = "";
    state.at = to;
    if (location.hash !== `#${to}`) history[instead ? "replaceState" : "pushState"](null, "", `#${to}`);
  }

  /** @param {string} to */
  function visit(to) {
    address(to, false);
    return ask("look");
  }

  /** The devices that the drawing and the findings link to. @param {string} id */
  async function follow(id) {
    const group = /^at-([a-z]+)-/.exec(id);
    if (!seek(id) && group) await visit(`/site/${group[1]}`);
    const target = seek(id);
    if (!target) return;
    (target.closest("details") ?? target.querySelector("details"))?.setAttribute("open", "");
    const cell = target instanceof HTMLTableRowElement ? target.cells[0] : cellOf(target);
    if (cell) return go(cell);
    const press = target.querySelector("h3 button") ?? target.querySelector("[tabindex], button, a, summary") ?? target;
    if (press instanceof HTMLElement) {
      if (press === target && !target.hasAttribute("tabindex")) target.tabIndex = -1;
      press.focus();
      press.scrollIntoView({ block: "nearest" });
    }
    return undefined;
  }

  /** What the page does by itself; every other `data-do` is asked of the engine. @type {Record<string, (data: any) => unknown>} */
  const ACTS = {
    finding: (data) => {
      const same = state.finding[0] === data.rule && state.finding[1] === data.subject;
      state.finding = same ? ["", ""] : [data.rule, data.subject];
      return ask("look");
    },
    line: (data) => goToLine(data.line),
    close: () => closeDialog(),
    dismiss: () => at("notice").replaceChildren(),
    again: () => ask("look"),
    print: () => window.print(),
    "copy-words": (data) => copyWords(at(data.of)),
    stop: () => {
      halted = looking;
      return now("stop");
    },
    rescue: () => offer((state.open ?? "copy.site.yaml").replace(/^.*\//, ""), "application/yaml", new TextEncoder().encode(state.text)),
    "take-draft": () => {
      const draft = stored(draftKey());
      at("notice").replaceChildren();
      return draft && ask("text", { text: draft.text });
    },
    "take-over": () => takeOver(),
    "forget-now": (data) => {
      store(draftKey(), null);
      store("last", null);
      return ask("forget-now", data);
    },
    "forget-draft": () => {
      store(draftKey(), null);
      at("notice").replaceChildren();
    },
  };

  // ---- What the page hears ------------------------------------------------------------------------------------------

  document.addEventListener("click", (event) => {
    const target = element(event.target);
    const option = target?.closest("#pick [role=option]");
    const link = target?.closest("a[href^='#']:not(.skip)");
    const button = target?.closest("[data-do]:not(form), [data-go]");
    const cell = cellOf(target);
    if (option instanceof HTMLElement) pick(option);
    else if (link) {
      event.preventDefault();
      const to = decodeURIComponent((link.getAttribute("href") ?? "#").slice(1));
      if (to.startsWith("/")) visit(to).then(() => seek("h1")?.focus());
      else follow(to);
    } else if (button instanceof HTMLElement) {
      if (button.getAttribute("aria-disabled") === "true") return;
      if (button.dataset.go) visit(button.dataset.go);
      else act(button);
    } else if (cell && !cell.dataset.editing) {
      if (editing) end(true);
      if (cell.id === state.cell && document.activeElement === cell && canEdit(cell) && !event.shiftKey) edit(cell, null);
      else go(cell, event.shiftKey);
    }
  });

  /** A press keeps focus where it is until the click is dealt with, so that a second press on a cell edits it. */
  document.addEventListener("mousedown", (event) => {
    const cell = cellOf(event.target);
    if (element(event.target)?.closest("#pick") || (cell && !cell.dataset.editing)) event.preventDefault();
  });

  document.addEventListener("dblclick", (event) => {
    const cell = cellOf(event.target);
    if (cell && !editing && canEdit(cell)) edit(cell, null);
  });

  document.addEventListener("focusin", (event) => {
    const cell = cellOf(event.target);
    if (!cell || cell !== event.target || state.cell === cell.id) return;
    state.cell = state.anchor = cell.id;
    rove();
  });

  document.addEventListener("focusout", (event) => {
    const now = editing;
    setTimeout(() => {
      if (!document.hasFocus()) return;
      if (now && editing === now && event.target === now.input && document.activeElement !== now.input) end(true);
      else if (combo.field && document.activeElement !== combo.field) closeList();
    }, 0);
  });

  document.addEventListener("input", (event) => {
    const field = element(event.target);
    if (editing && field === editing.input) {
      seek("refusal")?.remove();
      editing.input.removeAttribute("aria-invalid");
    }
    if (field instanceof HTMLInputElement && field.dataset.complete) complete(field);
    if (field instanceof HTMLTextAreaElement && field.id === "file-text") textTyped(field);
    else if (field) live(field);
  });

  document.addEventListener("submit", (event) => {
    event.preventDefault();
    if (event.target instanceof HTMLFormElement && event.target.dataset.do) act(event.target);
  });

  document.addEventListener("keydown", (event) => {
    const target = element(event.target);
    if (event.isComposing) return;
    if (editing && target === editing.input) {
      editKey(event);
      if (event.defaultPrevented || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "s") return;
    } else if (target instanceof HTMLInputElement && target.dataset.complete && listKey(event, target)) {
      event.preventDefault();
      return;
    }
    if (pageKey(event, target)) return;
    const cell = cellOf(target);
    if (cell && cell === target) gridKey(event, cell);
    else if (target?.getAttribute("role") === "tab") tabKey(event, target);
  });

  /** Keys that hold everywhere. @param {KeyboardEvent} event @param {Element|null} target */
  function pageKey(event, target) {
    const control = event.ctrlKey || event.metaKey;
    const key = event.key.toLowerCase();
    const field = target?.matches("input, textarea, select") ?? false;
    const own = field && target?.id !== "file-text";
    const menu = target?.closest("details.menu");
    if (control && key === "s") command("save");
    else if (control && key === "z" && !event.shiftKey && !own) command("undo");
    else if (control && (key === "y" || (key === "z" && event.shiftKey)) && !own) command("redo");
    else if (event.key === "?" && !field) ask("keys");
    else if (event.key === "F8" && !field && !cellOf(target)) nextFault(event.shiftKey ? -1 : 1);
    else if (event.key === "Escape" && menu) {
      menu.removeAttribute("open");
      menu.querySelector("summary")?.focus();
    } else return false;
    event.preventDefault();
    return true;
  }

  /** What is being typed, in a cell or into the file as text, belongs to the one history first. @param {string} what */
  function command(what) {
    const field = textField();
    if (editing) end(true);
    if (field && typing) sendText(field);
    return ask(what);
  }

  /** @param {KeyboardEvent} event @param {Element} tab */
  function tabKey(event, tab) {
    const tabs = [...(tab.closest("[role=tablist]")?.querySelectorAll("[role=tab]") ?? [])];
    const place = tabs.indexOf(tab);
    /** @type {Record<string, number>} */
    const to = { ArrowRight: place + 1, ArrowLeft: place - 1, Home: 0, End: tabs.length - 1 };
    const chosen = tabs[((to[event.key] ?? NaN) + tabs.length) % tabs.length];
    if (!(chosen instanceof HTMLElement)) return;
    event.preventDefault();
    chosen.focus();
    chosen.click();
  }

  document.addEventListener("copy", (event) => {
    if (editing || !cellOf(document.activeElement)) return;
    event.clipboardData?.setData("text/plain", block().map((row) => row.map(plain).join("\t")).join("\n"));
    event.preventDefault();
  });

  document.addEventListener("paste", (event) => {
    const cell = cellOf(document.activeElement) ?? element(document.activeElement)?.closest("#grid");
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!cell || !text || (editing && !/[\t\n]/.test(text.trim()))) return;
    event.preventDefault();
    if (editing) end(false);
    ask("paste", { text, cell: cell.id, sheet: grid()?.dataset.sheet ?? seek("grid")?.dataset.sheet });
  });

  window.addEventListener("popstate", () => {
    const to = location.hash.slice(1);
    if (!to.startsWith("/") || to === state.at) return;
    state.at = to;
    ask("look");
  });

  window.addEventListener("pagehide", () => {
    if (stored(holderKey())?.id === self) store(holderKey(), null);
  });

  window.addEventListener("resize", () => {
    if (combo.list && combo.field) settle(combo.list, combo.field);
  });

  /** A file that somebody else writes meanwhile is noticed. */
  async function lookAtDisk() {
    if (document.visibilityState !== "visible" || waiting || !state.open || state.lost) return;
    try {
      const answer = await call("disk");
      const now = answer.result?.disk ?? "same";
      const told = now !== "same" && now !== state.disk;
      if ((told || answer.version !== state.version) && !waiting) ask(told ? "disk" : "look");
      state.disk = now;
    } catch (error) {
      lost(error instanceof Error ? error.message : "");
    }
  }

  async function begin() {
    const asked = location.hash.slice(1);
    const start = new URLSearchParams(asked).get("k");
    if (start) sessionStorage.setItem("token", start);
    state.token = start ?? sessionStorage.getItem("token") ?? "";
    address(asked.startsWith("/") ? asked : FIRST, true);
    if (host()) await restoreFolder();
    await ask("look");
    const last = host() && !state.open ? stored("last") : null;
    if (last && Object.hasOwn(stored("folder") ?? {}, last)) await ask("open", { name: last });
    setInterval(lookAtDisk, LOOK_EVERY);
    setInterval(() => state.open && claimed(), TAB_EVERY);
  }

  begin();
})();
