// @ts-check
// The page without a server: the engine runs beside it in a worker, in WebAssembly. Same requests, same bytes.
"use strict";
(() => {
  /** What the worker runs. */
  function beside() {
    const scope = /** @type {any} */ (globalThis);
    /** @type {any} */
    let session = null;
    /** @type {any} */
    let python = null;
    /** @type {any[]} */
    const early = [];
    const step = (/** @type {string} */ words) => scope.postMessage({ step: words });

    /** @param {Uint8Array} packed */
    const inflate = async (packed) =>
      new Uint8Array(await new Response(new Blob([/** @type {any} */ (packed)]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer());

    /** The files of a parcel (an index of names and lengths, then what they hold). @param {any} system @param {Uint8Array} parcel */
    function layOut(system, parcel) {
      let at = 4 + new DataView(parcel.buffer).getUint32(0);
      for (const [name, length] of JSON.parse(new TextDecoder().decode(parcel.subarray(4, at)))) {
        system.mkdirTree(`/engine/${name}`.replace(/\/[^/]*$/, ""));
        system.writeFile(`/engine/${name}`, parcel.slice(at, (at += length)), { canOwn: true });
      }
    }

    /** @param {Record<string, Uint8Array>} packed */
    async function begin(packed) {
      step("Unpacking the checker");
      /** @type {Record<string, any>} */
      const files = {};
      for (const [name, content] of Object.entries(packed)) files[name] = await inflate(content);
      const address = (/** @type {any} */ content) => URL.createObjectURL(new Blob([content], { type: "text/javascript" }));
      scope.fetch = async (/** @type {any} */ wanted) => {
        const name = String(wanted).split("/").pop() ?? "";
        if (!files[name]) throw new Error(`nothing is fetched: ${name}`);
        const type = name.endsWith("wasm") ? "application/wasm" : "application/octet-stream";
        return new Response(files[name], { headers: { "content-type": type } });
      };
      scope.importScripts = () => {
        throw new Error("nothing is fetched"); // the runtime asks whether it could
      };
      step("Starting it");
      const asm = JSON.stringify(address(files["pyodide.asm.mjs"]));
      const source = new TextDecoder().decode(files["pyodide.mjs"])
        .replace(/import\((\w+)\)/g, (_, name) => `import(String(${name}).endsWith("pyodide.asm.mjs")?${asm}:${name})`)
        .replace(/import\(`\$\{(\w+(?:\.\w+)?)\}pyodide\.asm\.mjs`\)/g, `import(${asm})`);
      const { loadPyodide } = await import(address(source));
      const lock = { info: { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2" }, packages: {} };
      python = await loadPyodide({
        indexURL: "http://inside.invalid/", packageBaseUrl: "http://inside.invalid/", lockFileContents: JSON.stringify(lock),
        env: { HOME: "/home/pyodide", PYTHONPATH: "/engine" },
        fsInit: async (/** @type {any} */ system) => layOut(system, files["engine.bin"]),
      });
      if (files["catalogue.sqlite"]) python.FS.writeFile("/engine/catalogue.sqlite", files["catalogue.sqlite"], { canOwn: true });
      step("Loading the rules");
      const inside = python.pyimport("coaxwright.desk.inside");
      const { can_run_sync, run_sync } = python.pyimport("pyodide.ffi");
      session = inside.asker(tell, () => dropped.has(current), inside.moment(can_run_sync, run_sync, pause));
      step("");
      answer();
    }

    /** Questions that the page has taken back, and the one that is being worked on. @type {Set<number>} */
    const dropped = new Set();
    let current = 0;
    let busy = false;
    const tell = (/** @type {string} */ words) => scope.postMessage({ progress: words });
    /** A moment in which what the page sent meanwhile is heard; the engine waits for it where the browser lets it. */
    const pause = () => new Promise((done) => setTimeout(done, 0));

    /** Whether the engine answers anything at all after a fault. */
    function alive() {
      try {
        return python.runPython("True");
      } catch {
        return false;
      }
    }

    /** Answer what was asked, one after the other. */
    async function answer() {
      if (busy || !session) return;
      busy = true;
      for (let asked = early.shift(); asked; asked = early.shift()) {
        current = asked.id;
        try {
          scope.postMessage({ id: current, reply: await session.callPromising(asked.body) });
        } catch (error) {
          if (!alive()) return scope.close();
          scope.postMessage({ id: current, fault: String(error) });
        }
        dropped.delete(current);
      }
      busy = false;
    }

    scope.onmessage = (/** @type {any} */ event) => {
      const { parts, drop, lock } = event.data;
      // Whoever holds a lock loses it with its life: so the page hears of an end that nothing else tells.
      if (lock) scope.navigator.locks.request(lock, () => new Promise(() => scope.postMessage({ held: lock })));
      else if (parts) begin(parts).catch((error) => scope.postMessage({ broken: String(error) }));
      else if (drop) dropped.add(drop);
      else early.push(event.data);
      answer();
    };
  }

  const source = `(${beside.toString()})();`;
  /** @type {Map<number, {yields: boolean, done: (reply: string) => void, failed: (error: Error) => void}>} */
  const waiting = new Map();
  let count = 0;
  let progress = "";
  let born = 0;
  let answered = false;
  let dead = false;
  /** @type {Worker} */
  let worker;
  const note = document.createElement("p");
  note.className = "say words";
  note.setAttribute("role", "status");
  document.getElementById("notice")?.before(note);

  /** @param {string} why */
  function broken(why) {
    note.hidden = false;
    note.textContent = `The checker could not be started: ${why}`;
  }

  /** @param {MessageEvent} event */
  function heard({ data }) {
    if (data.step !== undefined) {
      note.textContent = data.step ? `Not judged yet. ${data.step}.` : "";
      note.hidden = !data.step;
      return;
    }
    if (data.progress !== undefined) {
      progress = data.progress;
      return;
    }
    if (data.broken) {
      broken(data.broken);
      return;
    }
    answered = true;
    const found = waiting.get(data.id);
    waiting.delete(data.id);
    progress = "";
    if (data.fault) found?.failed(new Error(data.fault));
    else found?.done(data.reply);
  }

  /** The worker is no more: what it was asked has no answer. @param {string} why */
  function gone(why) {
    dead = true;
    if (!answered) broken(why);
    for (const each of waiting.values()) each.failed(new Error("gone"));
    waiting.clear();
  }

  function start() {
    worker = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
    const mine = worker;
    answered = dead = false;
    worker.onmessage = (event) => {
      if (event.data.held) navigator.locks.request(event.data.held, () => mine === worker && gone("it ended"));
      else if (mine === worker) heard(event);
    };
    worker.onerror = (event) => mine === worker && gone(event.message);
    if (navigator.locks) worker.postMessage({ lock: `coaxwright ${Date.now()} ${born += 1}` });
    gathered.then((parts) => worker.postMessage({ parts }), (error) => broken(String(error)));
  }

  /** A packed part: in the page itself, or beside it on the host that serves it. @param {Element} each @returns {Promise<Uint8Array>} */
  async function packed(each) {
    const from = each.getAttribute("data-from");
    if (from) {
      const reply = await fetch(from);
      if (!reply.ok) throw new Error(`${from}: status ${reply.status}`);
      return new Uint8Array(await reply.arrayBuffer());
    }
    const text = atob((each.textContent ?? "").trim());
    const bytes = new Uint8Array(text.length);
    for (let place = 0; place < text.length; place += 1) bytes[place] = text.charCodeAt(place);
    return bytes;
  }

  const gathered = (async () => {
    /** @type {Record<string, Uint8Array>} */
    const parts = {};
    for (const each of document.querySelectorAll("script[data-part]")) {
      parts[each.getAttribute("data-part") ?? ""] = await packed(each);
      each.remove();
    }
    return parts;
  })();
  start();

  /** @type {any} */ (window).coaxwrightHost = {
    /** A question that yields is taken back by the next. @param {string} body @param {boolean} yields @returns {Promise<string>} */
    ask: (body, yields = false) => new Promise((done, failed) => {
      if (dead) throw new Error("gone");
      for (const [id, each] of waiting) if (each.yields) worker.postMessage({ drop: id });
      count += 1;
      waiting.set(count, { yields, done, failed });
      worker.postMessage({ id: count, body });
    }),
    /** Begin again after an end, with an engine that knows of nothing; no for one that never answered. @returns {boolean} */
    anew: () => {
      if (!answered) return false;
      worker.terminate();
      start();
      return true;
    },
    /** @param {string} what @returns {Promise<{progress: string}>} */
    now: async (what) => {
      if (what === "stop") for (const id of waiting.keys()) worker.postMessage({ drop: id });
      return { progress };
    },
  };
})();
