// @ts-check
// The page's own half: it moves focus, edits cells and puts in what the engine renders. It judges nothing itself.
"use strict";
(() => {
  /** @typedef {{path: string, text: string}} CellText */
  /** @typedef {{path: string, what: string, right: string}} RefusedCell */
  /** @typedef {{what: string, right: string}} Problem */
  /** @typedef {{hash: string, html?: string}} Fragment */
  /** @typedef {{ok: boolean, result?: any, problems?: Problem[], behind?: boolean, version: number, open: string|null, unsaved?: number}} Reply */
  /** @typedef {{place?: string, fragments?: Record<string, Fragment>, notice?: string, spoken?: string, title?: string, text?: string}} Shown */
  /** @typedef {Reply & Shown} Answer */

  const SHEETS = ["cameras", "recorders", "supplies", "cables", "disks", "places", "site", "text"];
  const PAGE_ROWS = 10;
  const SPEAK_AFTER = 600;
  const LOOK_EVERY = 4000;
  const JOIN_WITHIN = 4000;

  const state = {
    token: "",
    version: 0,
    open: /** @type {string|null} */ (null),
    place: "",
    unsaved: 0,
    sheet: "cameras",
    finding: ["", ""],
    have: /** @type {Record<string, string>} */ ({}),
    text: "",
    textVersion: -1,
    disk: "same",
    cell: "",
    anchor: "",
    lost: false,
  };
  let waiting = 0;
  let count = 0;
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

  // ---- Asking -------------------------------------------------------------------------------------------------

  /** The engine in this very page, where there is no server. */
  const host = () => /** @type {any} */ (window).coaxwrightHost;

  /** One request, outside of the order of edits. @param {string} what @param {object} rest @returns {Promise<Answer>} */
  async function call(what, rest = {}) {
    const body = JSON.stringify({ id: ++count, do: what, version: state.version, ...rest });
    if (host()) return JSON.parse(await host().ask(body));
    const reply = await fetch("/ask", {
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
    const view = { sheet: state.sheet, finding: state.finding, have: state.have, text: state.textVersion };
    const slow = setTimeout(() => document.body.classList.add("judging"), 300);
    try {
      const answer = await call(what, { view, ...rest });
      state.version = answer.version;
      if (waiting <= 1 || !answer.ok) show(answer);
      if (answer.behind) waiting <= 1 && queueMicrotask(() => ask("look"));
      if (state.lost) found();
      return answer;
    } catch (error) {
      lost(error instanceof Error ? error.message : "");
      return undefined;
    } finally {
      clearTimeout(slow);
      waiting -= 1;
      if (waiting === 0) document.body.classList.remove("judging");
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

  /** @param {Answer} answer */
  function show(answer) {
    shown += 1;
    const focused = document.activeElement;
    const id = focused instanceof HTMLElement || focused instanceof SVGElement ? focused.id : "";
    const region = focused ? focused.closest("section, #f-bar, #notice, #f-start") : null;
    if (answer.open !== state.open) state.textVersion = -1;
    state.open = answer.open;
    state.unsaved = answer.unsaved ?? 0;
    if (answer.place) state.place = answer.place;
    for (const [name, fragment] of Object.entries(answer.fragments ?? {})) put(name, fragment);
    if (answer.notice !== undefined) morph(at("notice"), parsed(answer.notice));
    else if (!answer.ok) at("notice").replaceChildren(told((answer.problems ?? []).map(sentence).join(" ")));
    if (answer.title) document.title = answer.title;
    if (answer.text !== undefined) takeText(answer.text, answer.version);
    if (host()) keepFolder();
    fillText();
    rove();
    speak(answer.spoken ?? "");
    if (document.activeElement === document.body && (id || region)) refocus(id, region);
    if (answer.notice) focusNotice();
    wantChanges();
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

  let noticeWanted = false;
  function focusNotice() {
    if (!noticeWanted) return;
    noticeWanted = false;
    const first = at("notice").querySelector("button") ?? seek("said");
    if (first instanceof HTMLElement) first.focus();
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
  /** Said once, when things have settled, and only if it differs. @param {string} words */
  function speak(words) {
    clearTimeout(speaking);
    speaking = setTimeout(() => {
      const all = `${before}${words}`;
      before = "";
      if (all === spoken || !all) return;
      spoken = all;
      at("live").textContent = all;
    }, SPEAK_AFTER);
  }

  /** What to say before the verdict. @param {string} words */
  function say(words) {
    before = `${words} `;
    spoken = "";
    speak("");
  }

  // ---- When the desk does not answer -----------------------------------------------------------------------------

  /** @param {string} why */
  function lost(why) {
    state.lost = true;
    const old = why === "token";
    const words = old
      ? "This page belongs to an earlier start of the desk. Open the address that it printed now."
      : "The desk has stopped answering. Your changes are kept in this page. Start it again with `coaxwright desk`.";
    const acts = [...(old ? [] : [pressed("Try again", "again")]), ...(state.text ? [pressed("Download a copy", "rescue")] : [])];
    const box = noticed(words, "err", ...acts);
    box.setAttribute("role", "alert");
    at("notice").replaceChildren(box);
  }

  function found() {
    state.lost = false;
    at("notice").replaceChildren();
  }

  /** @param {string} words @param {string} what */
  function pressed(words, what) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", textContent: words }).dataset.do = what;
    return button;
  }

  // ---- Drafts: the text as edited, kept by the browser until it is saved --------------------------------------------

  /** @param {string} text @param {number} version */
  function takeText(text, version) {
    state.text = text;
    state.textVersion = version;
    keepDraft();
  }

  function keepDraft() {
    if (!state.place) return;
    const key = `draft:${state.place}`;
    try {
      if (state.unsaved > 0) localStorage.setItem(key, JSON.stringify({ text: state.text, at: Date.now() }));
      else if (state.textVersion > 0) localStorage.removeItem(key);
    } catch {
      /* No room, or no storage: the desk itself still has the text. */
    }
  }

  let keeping = 0;
  /** Without a server the browser keeps the folder, so that a reload loses nothing. */
  function keepFolder() {
    clearTimeout(keeping);
    keeping = setTimeout(async () => {
      const answer = await call("folder");
      try {
        localStorage.setItem("folder", JSON.stringify(answer.result.files));
      } catch {
        /* No room, or no storage: saving gives a file all the same. */
      }
    }, 800);
  }

  /** What the browser kept of the folder, laid out again. */
  async function restoreFolder() {
    try {
      const files = Object.entries(JSON.parse(localStorage.getItem("folder") ?? "{}"));
      if (files.length) await call("bring", { replace: true, files: files.map(([name, base64]) => ({ name, base64 })) });
    } catch {
      /* Nothing was kept that can be used. */
    }
  }

  function offerDraft() {
    let draft = null;
    try {
      draft = JSON.parse(localStorage.getItem(`draft:${state.place}`) ?? "null");
    } catch {
      draft = null;
    }
    if (!draft || typeof draft.text !== "string" || draft.text === state.text || state.unsaved > 0) return;
    const words = `Changes of yours from ${new Date(draft.at).toLocaleString()} were not saved.`;
    const acts = [pressed("Take them up again", "take-draft"), pressed("Forget them", "forget-draft")];
    at("notice").replaceChildren(noticed(words, "warn", ...acts));
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
    await sheet("text");
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

  /** @param {Element|null} target @returns {HTMLTableCellElement|null} */
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
    ask("look").then(() => focusFinding());
  }

  function focusFinding() {
    const open = document.querySelector(".todo button[aria-expanded='true']");
    if (!(open instanceof HTMLElement)) return;
    open.closest("details")?.setAttribute("open", "");
    open.focus();
    open.scrollIntoView({ block: "nearest" });
  }

  // ---- The grid: editing -------------------------------------------------------------------------------------------

  /** @type {{cell: HTMLTableCellElement, input: HTMLInputElement, kept: ChildNode[], list: HTMLElement|null, chosen: number, ask: number}|null} */
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
    if (!canEdit(cell)) return say(cell.title || "This is worked out, not written.");
    end(false);
    const input = document.createElement("input");
    input.type = "text";
    input.autocomplete = "off";
    input.spellcheck = false;
    input.setAttribute("aria-label", label(cell));
    if (cell.dataset.hint) input.placeholder = cell.dataset.hint;
    input.value = begun ?? cell.dataset.text ?? cell.dataset.name ?? "";
    editing = { cell, input, kept: [...cell.childNodes], list: null, chosen: -1, ask: 0 };
    cell.dataset.editing = "yes";
    cell.replaceChildren(input);
    const listed = /^(part|port|choice)/.test(cell.dataset.holds ?? "");
    if (listed) {
      input.setAttribute("role", "combobox");
      input.setAttribute("aria-autocomplete", "list");
      input.setAttribute("aria-expanded", "false");
    }
    input.focus();
    if (begun === null) input.select();
    else input.setSelectionRange(begun.length, begun.length);
    if (refused) showRefusal(input, refused);
    else if (listed) complete(begun === null);
    return undefined;
  }

  /** @param {HTMLInputElement} input @param {RefusedCell} refused */
  function showRefusal(input, refused) {
    input.setAttribute("aria-invalid", "true");
    const box = document.createElement("div");
    box.className = "pick refusal";
    box.id = "refusal";
    box.setAttribute("role", "alert");
    box.textContent = sentence(refused);
    input.setAttribute("aria-describedby", "refusal");
    at("main").append(box);
    settle(box, input);
  }

  /** @param {Problem} problem */
  function sentence(problem) {
    const upper = (/** @type {string} */ text) => text.charAt(0).toUpperCase() + text.slice(1);
    return `${upper(problem.what)}.${problem.right ? ` ${upper(problem.right)}.` : ""}`;
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
    closeList(was);
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
      const group = (cell.dataset.row ?? "").split("/")[1];
      const answer = await ask("rename", { group, name: cell.dataset.name, to: text });
      if (answer?.ok) state.cell = `c/${group}/${text}#`;
      rove();
      return;
    }
    cell.textContent = text;
    cell.classList.add("pending");
    const answer = await ask("set", { cells: [{ path, text }] });
    cell.classList.remove("pending");
    const refused = answer?.result?.refused?.[0];
    if (answer && (!answer.ok || refused)) putBack(cell);
    if (!refused) return;
    const here = seek(cell.id);
    const focused = document.activeElement;
    const free = !editing && (focused === document.body || cellOf(focused) !== null);
    if (here instanceof HTMLTableCellElement && free) {
      go(here);
      edit(here, text, refused);
    } else {
      say(`${label(cell)}: ${sentence(refused)}`);
      at("notice").replaceChildren(told(`${label(cell)}: “${text}” was not taken. ${sentence(refused)}`));
    }
  }

  /** @param {string} words */
  const told = (words) => noticed(words, "warn", pressed("Close", "dismiss"));

  /** A notice that the page makes itself: words and buttons. @param {string} words @param {string} kind @param {HTMLElement[]} buttons */
  function noticed(words, kind, ...buttons) {
    const box = document.createElement("div");
    box.className = `say ${kind}`;
    const text = document.createElement("p");
    text.textContent = words;
    const acts = document.createElement("div");
    acts.className = "acts";
    acts.append(...buttons);
    box.append(text, acts);
    return box;
  }

  /** A refused cell shows again what the file has. @param {HTMLTableCellElement} cell */
  function putBack(cell) {
    cell.textContent = cell.dataset.text ?? "";
    delete state.have.site;
    ask("look");
  }

  function clear() {
    const wanted = block().flat().filter((cell) => canEdit(cell) && cell.dataset.path && cell.dataset.text);
    if (!wanted.length) return;
    const texts = wanted.map((cell) => ({ path: cell.dataset.path, text: "" }));
    setCells(texts, texts.length > 1 ? `${texts.length} cells cleared` : "");
  }

  /** @param {{path: string|undefined, text: string}[]} texts @param {string} name */
  async function setCells(texts, name) {
    const answer = await ask("set", { cells: texts, name });
    const refused = answer?.result?.refused ?? [];
    if (refused.length && texts.length === 1) {
      at("notice").replaceChildren(told(sentence(refused[0])));
      say(sentence(refused[0]));
    }
  }

  // ---- Completion -----------------------------------------------------------------------------------------------

  /** @param {boolean} all whether everything is offered, whatever stands in the field */
  async function complete(all = false) {
    const now = editing;
    if (!now || !now.cell.dataset.path) return;
    const turn = ++now.ask;
    const text = all ? "" : now.input.value;
    let answer;
    try {
      answer = await call("complete", { path: now.cell.dataset.path, text });
    } catch {
      return;
    }
    if (editing !== now || turn !== now.ask || !answer.ok) return;
    listOptions(now, answer.result, text);
  }

  /** @param {NonNullable<typeof editing>} now @param {{count: number, options: {value: string, figures: string}[]}} found @param {string} text */
  function listOptions(now, found, text) {
    closeList(now);
    const list = document.createElement("ul");
    list.className = "pick";
    list.id = "pick";
    list.setAttribute("role", "listbox");
    list.setAttribute("aria-label", `${label(now.cell)}: ${found.count} to choose from`);
    found.options.forEach((option, place) => {
      const item = document.createElement("li");
      item.id = `pick-${place}`;
      item.setAttribute("role", "option");
      item.setAttribute("aria-selected", "false");
      item.dataset.value = option.value;
      const value = document.createElement("b");
      value.textContent = option.value;
      const figures = document.createElement("span");
      figures.className = "quiet";
      figures.textContent = option.figures;
      item.append(value, figures);
      list.append(item);
    });
    const left = found.count - found.options.length;
    const foot = document.createElement("li");
    foot.className = "foot";
    foot.setAttribute("role", "presentation");
    foot.textContent = found.count === 0
      ? `Nothing is called “${text}”. Enter keeps what you typed.`
      : `↓ chooses, Enter takes, Esc closes.${left > 0 ? ` ${left} more: type on.` : ""}`;
    if (found.count === 0) list.setAttribute("role", "presentation");
    list.append(foot);
    at("main").append(list);
    settle(list, now.input);
    now.list = list;
    now.chosen = -1;
    now.input.setAttribute("aria-expanded", found.count ? "true" : "false");
    now.input.setAttribute("aria-controls", "pick");
  }

  /** @param {NonNullable<typeof editing>} now */
  function closeList(now) {
    now.list?.remove();
    now.list = null;
    now.chosen = -1;
    if (now.input.hasAttribute("role")) now.input.setAttribute("aria-expanded", "false");
    now.input.removeAttribute("aria-controls");
    now.input.removeAttribute("aria-activedescendant");
  }

  /** @param {NonNullable<typeof editing>} now @param {number} way */
  function choose(now, way) {
    const items = [...(now.list?.querySelectorAll("[role=option]") ?? [])];
    if (!items.length) return;
    now.chosen = (now.chosen + way + items.length + (now.chosen < 0 && way < 0 ? 1 : 0)) % items.length;
    items.forEach((item, place) => item.setAttribute("aria-selected", String(place === now.chosen)));
    const item = items[now.chosen];
    now.input.setAttribute("aria-activedescendant", item.id);
    item.scrollIntoView({ block: "nearest" });
  }

  /** @param {KeyboardEvent} event */
  function editKey(event) {
    const now = editing;
    if (!now) return;
    const { key } = event;
    if (key === "Enter") {
      const item = now.list?.querySelector("[aria-selected=true]");
      if (item instanceof HTMLElement && item.dataset.value !== undefined) now.input.value = item.dataset.value;
      end(true, true);
    } else if (key === "Escape") {
      if (now.list) closeList(now);
      else end(false);
    } else if (key === "Tab") {
      end(true);
      return;
    } else if (key === "ArrowDown" || key === "ArrowUp") {
      if (now.list) choose(now, key === "ArrowDown" ? 1 : -1);
      else if (now.input.hasAttribute("role")) complete();
      else return;
    } else if (key === "F2") {
      if (now.list) closeList(now);
      else if (now.input.hasAttribute("role")) complete(true);
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }

  // ---- Copy and paste ---------------------------------------------------------------------------------------------

  /** @param {HTMLTableCellElement} cell */
  const plain = (cell) => cell.dataset.text ?? cell.dataset.name ?? cell.querySelector("b")?.textContent ?? cell.textContent ?? "";

  /** Rows of a block as spreadsheets copy it: tabs between, quotes round what holds a line end. @param {string} text @returns {string[][]} */
  function rowsOf(text) {
    /** @type {string[][]} */
    const rows = [[]];
    let piece = "";
    let quoted = false;
    const source = text.replace(/\r\n?/g, "\n").replace(/\n$/, "");
    for (let place = 0; place < source.length; place += 1) {
      const sign = source[place];
      if (quoted) {
        if (sign === '"' && source[place + 1] === '"') {
          piece += '"';
          place += 1;
        } else if (sign === '"') quoted = false;
        else piece += sign;
      } else if (sign === '"' && piece === "") quoted = true;
      else if (sign === "\t" || sign === "\n") {
        rows[rows.length - 1].push(piece.trim());
        piece = "";
        if (sign === "\n") rows.push([]);
      } else piece += sign;
    }
    rows[rows.length - 1].push(piece.trim());
    return rows;
  }

  /** @param {string} text @param {HTMLTableCellElement} cell */
  function paste(text, cell) {
    const pasted = rowsOf(text);
    const shown = cells();
    const [row, column] = whereIs(cell.id);
    const heads = [...(grid()?.tHead?.rows[0].cells ?? [])].map((each) => (each.firstChild?.textContent ?? "").trim().toLowerCase());
    if (pasted[0].some((each, place) => each && each.toLowerCase() === heads[column + place])) pasted.shift();
    const lines = pasted.filter((each) => each.some(Boolean));
    /** @type {CellText[]} */
    const wanted = [];
    let left = 0;
    lines.forEach((line, down) => {
      const named = column === 0 && Boolean(shown[0]?.[0]?.dataset.name);
      const target = named ? shown.find((each) => each[0].dataset.name === line[0]) : shown[row + down];
      line.forEach((value, right) => {
        const model = (target ?? shown[0])?.[column + right];
        if (!model?.dataset.path || (named && right === 0) || model.getAttribute("aria-readonly") === "true") return;
        if (target) wanted.push({ path: model.dataset.path, text: value });
        else if (named && line[0] && value) wanted.push({ path: moved(model, line[0]), text: value });
        else left += 1;
      });
    });
    if (!wanted.length) return say("Nothing there fits these columns. Paste from the name column to add rows.");
    if (left) say(`${left} cells lie beyond the last row. Paste from the name column to add rows.`);
    return setCells(wanted, wanted.length > 1 ? `${wanted.length} cells pasted` : "");
  }

  /** The pointer of the same column in a row of another name. @param {HTMLTableCellElement} cell @param {string} name */
  function moved(cell, name) {
    const steps = (cell.dataset.path ?? "").split("/");
    steps[2] = name.replace(/~/g, "~0").replace(/\//g, "~1");
    return steps.join("/");
  }

  // ---- Sheets, findings, files ------------------------------------------------------------------------------------

  /** @param {string} name */
  async function sheet(name) {
    if (state.sheet !== name) {
      state.sheet = name;
      state.anchor = "";
      if (location.hash !== `#/site/${name}`) history.pushState(null, "", `#/site/${name}`);
    }
    await ask("look");
  }

  /** @param {string} rule @param {string} subject */
  function toggle(rule, subject) {
    const same = state.finding[0] === rule && state.finding[1] === subject;
    state.finding = same ? ["", ""] : [rule, subject];
    ask("look");
  }

  let looking = false;
  let shown = 0;
  /** Once a finding is open, changes for it are looked for, beside everything else: what is newer goes before it. */
  async function wantChanges() {
    if (looking || !seek("looking") || state.lost) return;
    looking = true;
    const mark = shown;
    const { sheet: name, finding, have, textVersion } = state;
    try {
      const answer = await call("look", { view: { sheet: name, finding, have, text: textVersion, changes: true } });
      if (shown === mark && !waiting && finding === state.finding) show(answer);
    } catch (error) {
      lost(error instanceof Error ? error.message : "");
    } finally {
      looking = false;
      if (seek("looking") && !state.lost) setTimeout(wantChanges, waiting ? 300 : 30);
    }
  }

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

  /** @param {string} kind */
  async function download(kind) {
    const answer = await ask("download", { kind });
    if (!answer?.ok) return;
    const { name, type, base64 } = answer.result;
    offer(name, type, Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0)));
    say(`${name} is downloaded.`);
  }

  /** @param {string} accept @param {boolean} many @param {(files: {name: string, base64: string}[]) => unknown} then */
  function chooseFiles(accept, many, then) {
    const field = Object.assign(document.createElement("input"), { type: "file", accept, multiple: many });
    field.addEventListener("change", async () => then(await Promise.all([...(field.files ?? [])].map(encoded))));
    field.click();
  }

  /** @param {File} file */
  async function encoded(file) {
    let text = "";
    for (const byte of new Uint8Array(await file.arrayBuffer())) text += String.fromCharCode(byte);
    return { name: file.name, base64: btoa(text) };
  }

  /** @param {{name: string, base64: string}[]} files */
  async function takeIn(files) {
    const answer = files[0] && await ask("import", files[0]);
    say(answer?.ok ? "Imported." : "Not imported.");
  }

  /** @param {{name: string, base64: string}[]} files */
  const bring = (files) => openSite("bring", { files });

  /** @param {string} title @param {Node} content */
  function dialog(title, content) {
    const box = at("dialog");
    at("dialog-title").textContent = title;
    at("dialog-body").replaceChildren(content);
    if (box instanceof HTMLDialogElement && !box.open) box.showModal();
    const field = box.querySelector("input[type=text]") ?? at("dialog-title");
    if (field instanceof HTMLElement) field.focus();
  }

  const closeDialog = () => /** @type {HTMLDialogElement} */ (at("dialog")).close();

  function copyDialog() {
    const form = document.createElement("form");
    form.dataset.do = "copy";
    const words = document.createElement("label");
    words.textContent = "Name of the copy, in the same folder";
    words.htmlFor = "copy-name";
    const field = document.createElement("input");
    field.type = "text";
    field.id = "copy-name";
    field.value = (state.open ?? "").replace(/(\.copy)?\.site\.yaml$/, ".copy.site.yaml");
    const acts = document.createElement("div");
    acts.className = "acts";
    const save = Object.assign(document.createElement("button"), { type: "submit", className: "main-act", textContent: "Save the copy" });
    acts.append(save);
    form.append(words, field, acts);
    dialog("Save as a copy", form);
  }

  const KEYS = [
    ["arrows", "one cell"], ["Home, End", "ends of the row; with Ctrl, of the grid"], ["Page Up, Page Down", "ten rows"],
    ["Enter or F2", "edit, with what stands there selected"], ["a letter or digit", "edit, with that instead"],
    ["Enter", "keep what was typed, go down"], ["Tab", "keep it, leave the grid"], ["Esc", "close the list, then put back what stood there"],
    ["Delete", "empty the cell, or the block"], ["Shift and arrows", "select a block"], ["Ctrl+C, Ctrl+V", "copy, paste: from a spreadsheet too"],
    ["F8, Shift+F8", "next, previous cell with a finding"], ["Alt+Enter", "open that finding"],
    ["Ctrl+Z", "undo"], ["Ctrl+Y or Ctrl+Shift+Z", "redo"], ["Ctrl+S", "save"], ["?", "this list"],
  ];

  function keysDialog() {
    const table = document.createElement("table");
    table.className = "tbl";
    for (const [key, words] of KEYS) {
      const row = table.insertRow();
      const head = document.createElement("th");
      head.scope = "row";
      const sign = document.createElement("kbd");
      sign.textContent = key;
      head.append(sign);
      row.append(head);
      row.insertCell().textContent = words;
    }
    dialog("Keys", table);
  }

  /** @param {Answer|undefined} answer @param {string} word */
  function focusChanged(answer, word) {
    if (!answer?.ok) return;
    say(word);
    const paths = answer.result?.paths ?? [];
    const cell = paths.map((/** @type {string} */ path) => seek(`c${path}`)).find(Boolean);
    if (cell instanceof HTMLTableCellElement) go(cell);
  }

  /** The devices that the drawing and the findings link to. @param {string} id */
  async function follow(id) {
    const group = SHEETS.find((each) => id.startsWith(`at-${each}-`));
    if (!seek(id) && group) await sheet(group);
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

  /** @type {Record<string, (data: DOMStringMap, button: HTMLElement) => unknown>} */
  const ACTS = {
    undo: () => ask("undo").then((answer) => focusChanged(answer, "Undone.")),
    redo: () => ask("redo").then((answer) => focusChanged(answer, "Done again.")),
    save: () => save(),
    sheet: (data) => sheet(data.sheet ?? "cameras").then(() => seek(`tab-${state.sheet}`)?.focus()),
    finding: (data) => toggle(data.rule ?? "", data.subject ?? ""),
    apply: (data) => apply(data),
    line: (data) => goToLine(Number(data.line)),
    add: (data) => add(data),
    "remove-row": () => removeRow(),
    open: (data) => openSite("open", { name: data.name }),
    example: () => openSite("example", {}),
    files: () => showFiles(true),
    back: () => showFiles(false),
    limits: () => rowPage("limits-page", (name) => `How far can ${name} move?`),
    figures: () => rowPage("figures", (name) => `Every figure of ${name}`),
    use: (data) => useTrial(data.slider ?? ""),
    copy: () => copyDialog(),
    import: () => chooseFiles(".csv,.txt,.tsv,.xlsx,.xlsm,.ods,.xls", false, takeIn),
    bring: () => chooseFiles(".yaml,.yml", true, bring),
    download: (data) => download(data.kind ?? "report"),
    compare: () => comparePage(),
    keys: () => keysDialog(),
    close: () => closeDialog(),
    dismiss: () => at("notice").replaceChildren(),
    theirs: (data) => ask("theirs", { keep_mine: data.keep === "yes" }).then(() => { state.disk = "same"; }),
    again: () => ask("look"),
    rescue: () => offer((state.open ?? "copy.site.yaml").replace(/^.*\//, ""), "application/yaml", new TextEncoder().encode(state.text)),
    "take-draft": () => takeDraft(),
    "forget-draft": () => forgetDraft(),
  };

  async function save() {
    if (editing) end(true);
    const answer = await ask("save");
    if (!answer) return;
    say(answer.ok ? "Saved." : "Not saved.");
    if (answer.ok) state.disk = "same";
    if (answer.ok && host()) ACTS.rescue({}, document.body);
    keepDraft();
  }

  /** @param {DOMStringMap} data */
  async function apply(data) {
    noticeWanted = true;
    const answer = await ask("apply", { rule: data.rule, subject: data.subject, number: Number(data.number) });
    if (answer?.ok) say("Applied.");
  }

  /** @param {DOMStringMap} data */
  async function add(data) {
    const answer = await ask("add", { group: data.group, recorder: data.recorder });
    if (!answer?.ok || !answer.result.name) return;
    const cell = seek(`c/${data.group}/${answer.result.name}#`);
    if (cell instanceof HTMLTableCellElement) go(cell);
    say(`${answer.result.name} added.`);
  }

  function removeRow() {
    const cell = seek(state.cell);
    const row = cell?.parentElement?.firstElementChild;
    if (row instanceof HTMLElement && row.dataset.row) ask("remove", { path: row.dataset.row }).then(() => say("Removed."));
  }

  /** @param {string} what @param {object} rest */
  async function openSite(what, rest) {
    Object.assign(state, { sheet: "cameras", finding: ["", ""], cell: "", anchor: "", disk: "same", textVersion: -1 });
    const answer = await ask(what, rest);
    if (answer?.ok) opened();
  }

  function opened() {
    history.replaceState(null, "", `#/site/${state.sheet}`);
    seek("h1")?.focus();
    offerDraft();
  }

  /** @param {boolean} on */
  function showFiles(on) {
    state.sheet = on ? "files" : "cameras";
    seek("menu")?.removeAttribute("open");
    return ask("look").then(() => seek("h1")?.focus());
  }

  async function comparePage() {
    const answer = await ask("compare-page");
    if (!answer?.ok) return;
    dialog("Compared with the saved file", parsed(answer.result.html));
  }

  // ---- How far can it move? A trial writes nothing until it is used ------------------------------------------------

  /** @type {Map<string, object[]>} */
  const trials = new Map();
  let trying = 0;

  /** A page about the row that was last in focus. @param {string} what @param {(name: string) => string} title */
  async function rowPage(what, title) {
    const row = seek(state.cell)?.parentElement;
    const subject = row?.firstElementChild instanceof HTMLElement ? (row.firstElementChild.dataset.row ?? "").slice(1) : "";
    const heading = title(subject.split("/")[1] ?? "");
    trials.clear();
    const wait = document.createElement("p");
    wait.textContent = "Being worked out.";
    dialog(heading, wait);
    const answer = await call(what, { subject });
    const box = document.createElement("div");
    if (answer.ok) box.append(parsed(answer.result.html));
    else box.textContent = (answer.problems ?? []).map(sentence).join(" ");
    dialog(heading, box);
  }

  /** @param {HTMLInputElement} slider */
  function trialMoved(slider) {
    clearTimeout(trying);
    trying = setTimeout(() => tryValue(slider), 120);
  }

  /** @param {HTMLInputElement} slider */
  async function tryValue(slider) {
    const { subject, path } = slider.dataset;
    const value = slider.valueAsNumber;
    const answer = await call("trial", { subject, path, value });
    if (!slider.isConnected || slider.valueAsNumber !== value) return;
    const words = answer.ok ? answer.result.says : (answer.problems ?? []).map(sentence).join(" ");
    const told = answer.ok ? answer.result.told : slider.value;
    at(`${slider.id}-now`).textContent = told;
    at(`${slider.id}-trial`).textContent = words;
    slider.setAttribute("aria-valuetext", `${told}. ${words}`);
    const use = document.querySelector(`[data-slider="${slider.id}"]`);
    if (!(use instanceof HTMLElement) || !answer.ok || !answer.result.patch) return;
    trials.set(slider.id, answer.result.patch);
    use.removeAttribute("aria-disabled");
    use.textContent = `Use ${told}`;
  }

  /** @param {string} id */
  async function useTrial(id) {
    const patch = trials.get(id);
    const label = document.querySelector(`label[for="${id}"]`)?.textContent ?? "a number";
    if (!patch) return;
    closeDialog();
    const answer = await ask("patch", { patch, name: label });
    say(answer?.ok ? "Used." : "Not done.");
  }

  function takeDraft() {
    const draft = JSON.parse(localStorage.getItem(`draft:${state.place}`) ?? "null");
    at("notice").replaceChildren();
    if (draft) ask("text", { text: draft.text });
  }

  function forgetDraft() {
    localStorage.removeItem(`draft:${state.place}`);
    at("notice").replaceChildren();
  }

  /** @type {Record<string, (form: HTMLFormElement) => unknown>} */
  const FORMS = {
    supply: (form) => {
      const field = form.querySelector("input");
      if (field?.dataset.path && field.value.trim()) setCells([{ path: field.dataset.path, text: field.value }], "");
    },
    copy: () => {
      const field = at("copy-name");
      if (!(field instanceof HTMLInputElement)) return;
      closeDialog();
      ask("save", { name: field.value.trim() }).then((answer) => say(answer?.ok ? "Copy saved." : "Not saved."));
    },
    create: () => {
      const value = (/** @type {string} */ id) => /** @type {HTMLInputElement|HTMLSelectElement} */ (at(id)).value.trim();
      const plainName = value("new-name").toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
      const file = value("new-file") || `${plainName || "site"}.site.yaml`;
      const sample = seek("new-sample");
      openSite("begin", {
        sample: sample instanceof HTMLInputElement && sample.checked,
        name: file.endsWith(".site.yaml") ? file : `${file}.site.yaml`, site: value("new-name"),
        video_rate: Number(value("new-rate")), retention: value("new-days"),
      });
    },
  };

  // ---- What the page hears ------------------------------------------------------------------------------------------

  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    if (!target) return;
    const option = target.closest("#pick [role=option]");
    if (option instanceof HTMLElement && editing) {
      editing.input.value = option.dataset.value ?? "";
      end(true);
      return;
    }
    const link = target.closest("a[href^='#']");
    if (link && !link.classList.contains("skip")) {
      event.preventDefault();
      follow(decodeURIComponent((link.getAttribute("href") ?? "#").slice(1)));
      return;
    }
    const button = target.closest("[data-do]");
    if (button instanceof HTMLElement && button.nodeName !== "FORM") {
      if (button.getAttribute("aria-disabled") === "true") return;
      button.closest("details.menu")?.removeAttribute("open");
      ACTS[button.dataset.do ?? ""]?.(button.dataset, button);
      return;
    }
    const cell = cellOf(target);
    if (cell && !cell.dataset.editing) {
      if (editing) end(true);
      if (cell.id === state.cell && document.activeElement === cell && canEdit(cell) && !event.shiftKey) edit(cell, null);
      else go(cell, event.shiftKey);
    }
  });

  /** A press keeps focus where it is until the click is dealt with, so that a second press on a cell edits it. */
  document.addEventListener("mousedown", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    if (target?.closest("#pick")) event.preventDefault();
    const cell = cellOf(target);
    if (cell && !cell.dataset.editing) event.preventDefault();
  });

  document.addEventListener("dblclick", (event) => {
    const cell = cellOf(event.target instanceof Element ? event.target : null);
    if (cell && !editing && canEdit(cell)) edit(cell, null);
  });

  document.addEventListener("focusin", (event) => {
    const cell = cellOf(event.target instanceof Element ? event.target : null);
    if (cell && cell === event.target && state.cell !== cell.id) {
      state.cell = cell.id;
      state.anchor = cell.id;
      rove();
    }
  });

  document.addEventListener("focusout", (event) => {
    if (editing && event.target === editing.input) {
      const now = editing;
      setTimeout(() => {
        if (editing === now && document.activeElement !== now.input && document.hasFocus()) end(true);
      }, 0);
    }
  });

  document.addEventListener("input", (event) => {
    if (editing && event.target === editing.input) {
      seek("refusal")?.remove();
      editing.input.removeAttribute("aria-invalid");
      if (editing.input.hasAttribute("role")) complete();
    }
    if (event.target instanceof HTMLTextAreaElement && event.target.id === "file-text") textTyped(event.target);
    if (event.target instanceof HTMLInputElement && event.target.type === "range") trialMoved(event.target);
  });

  document.addEventListener("submit", (event) => {
    event.preventDefault();
    if (event.target instanceof HTMLFormElement) FORMS[event.target.dataset.do ?? ""]?.(event.target);
  });

  document.addEventListener("keydown", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    if (event.isComposing) return;
    if (editing && target === editing.input) {
      editKey(event);
      if (event.defaultPrevented || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "s") return;
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
    const field = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;
    const own = field && target.id !== "file-text";
    if (control && key === "s") save();
    else if (control && key === "z" && !event.shiftKey && !own && settled(target)) ACTS.undo({}, document.body);
    else if (control && (key === "y" || (key === "z" && event.shiftKey)) && !own && settled(target)) ACTS.redo({}, document.body);
    else if (event.key === "?" && !field) keysDialog();
    else if (event.key === "F8" && !field && !cellOf(target)) nextFault(event.shiftKey ? -1 : 1);
    else if (event.key === "Escape" && target?.closest("details.menu")) {
      target.closest("details.menu")?.removeAttribute("open");
      target.closest("details.menu")?.querySelector("summary")?.focus();
    } else return false;
    event.preventDefault();
    return true;
  }

  /** What is typed into the file as text belongs to the one history once it was sent. @param {Element|null} target */
  function settled(target) {
    const field = textField();
    if (field && target === field && typing) sendText(field);
    return true;
  }

  /** @param {KeyboardEvent} event @param {Element} tab */
  function tabKey(event, tab) {
    const tabs = [...document.querySelectorAll("[role=tab]")];
    const place = tabs.indexOf(tab);
    /** @type {Record<string, number>} */
    const to = { ArrowRight: place + 1, ArrowLeft: place - 1, Home: 0, End: tabs.length - 1 };
    const next = to[event.key];
    if (next === undefined) return;
    event.preventDefault();
    const chosen = tabs[(next + tabs.length) % tabs.length];
    if (chosen instanceof HTMLElement) ACTS.sheet(chosen.dataset, chosen);
  }

  document.addEventListener("copy", (event) => {
    if (editing || !cellOf(document.activeElement)) return;
    event.clipboardData?.setData("text/plain", block().map((row) => row.map(plain).join("\t")).join("\n"));
    event.preventDefault();
  });

  document.addEventListener("paste", (event) => {
    const cell = cellOf(document.activeElement);
    const text = event.clipboardData?.getData("text/plain") ?? "";
    const field = document.activeElement instanceof HTMLInputElement && editing?.input === document.activeElement;
    if (!cell || !text || (field && !/[\t\n]/.test(text.trim()))) return;
    event.preventDefault();
    if (editing) end(false);
    paste(text, cell);
  });

  window.addEventListener("popstate", () => {
    const name = location.hash.replace(/^#\/site\//, "");
    if (SHEETS.includes(name) && name !== state.sheet) sheet(name);
  });

  window.addEventListener("resize", () => {
    if (editing?.list) settle(editing.list, editing.input);
  });

  /** A file that somebody else writes meanwhile is noticed. */
  async function lookAtDisk() {
    if (document.visibilityState !== "visible" || waiting || !state.open || state.lost) return;
    try {
      const answer = await call("disk");
      const now = answer.result?.disk ?? "same";
      if (answer.version !== state.version && !waiting) ask("look");
      if (now !== state.disk && now !== "same") ask("disk");
      state.disk = now;
    } catch (error) {
      lost(error instanceof Error ? error.message : "");
    }
  }

  function begin() {
    const start = new URLSearchParams(location.hash.slice(1)).get("k");
    if (start) sessionStorage.setItem("token", start);
    state.token = start ?? sessionStorage.getItem("token") ?? "";
    const name = location.hash.replace(/^#\/site\//, "");
    if (SHEETS.includes(name)) state.sheet = name;
    history.replaceState(null, "", `#/site/${state.sheet}`);
    const ready = host() ? restoreFolder() : Promise.resolve();
    ready.then(() => ask("look")).then((answer) => answer?.open && offerDraft());
    setInterval(lookAtDisk, LOOK_EVERY);
  }

  begin();
})();
