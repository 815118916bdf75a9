// Opens pages in Chromium at several widths, light or dark, all folds open, and lets axe-core look at each.
//
// node axe.mjs CHROMIUM AXE_CORE SCHEME PAGE… prints one JSON list: for every view its violations and what stays
// undecided.
// Where axe cannot tell what lies behind a text, the pixels do: the page is photographed without its letters, and
// each text is held against the colours there that cover at least a twentieth of its box (WCAG 2.2, 1.4.3).
// Chromium is spoken to through the two pipes of its DevTools protocol, so that nothing else is needed.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [chromium, axe, scheme, ...pages] = process.argv.slice(2);
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"];
const profile = mkdtempSync(join(tmpdir(), "axe-"));
const browser = spawn(
  chromium,
  ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
    "--remote-debugging-pipe", `--user-data-dir=${profile}`, "about:blank"],
  { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] },
);
const waiting = new Map();
const events = new Map();
let next = 0;
let text = "";
browser.stdio[4].setEncoding("utf8").on("data", (piece) => {
  text += piece;
  for (let end; (end = text.indexOf("\0")) >= 0; text = text.slice(end + 1)) {
    const message = JSON.parse(text.slice(0, end));
    if (message.id) {
      const [done, failed] = waiting.get(message.id);
      waiting.delete(message.id);
      message.error ? failed(new Error(message.error.message)) : done(message.result);
    } else events.get(message.method)?.(message.params);
  }
});
browser.on("exit", (code) => {
  for (const [, failed] of waiting.values()) failed(new Error(`Chromium ended (${code})`));
});

let sessionId;
const call = (method, params = {}) => new Promise((done, failed) => {
  waiting.set(++next, [done, failed]);
  browser.stdio[3].write(`${JSON.stringify({ id: next, method, params, sessionId })}\0`);
});
const evaluate = async (expression) => {
  const { result, exceptionDetails } = await call("Runtime.evaluate", {
    expression, awaitPromise: true, returnByValue: true,
  });
  if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
  return result.value;
};

// What runs in the page.
const LOOK = `
  const rules = await axe.run(document, { runOnly: ${JSON.stringify(TAGS)}, resultTypes: ["violations", "incomplete"] });
  const told = (list) => list.flatMap((rule) => rule.nodes.map((node) => ({
    rule: rule.id, target: node.target.join(" "), html: node.html.slice(0, 200),
    why: [...node.any, ...node.all, ...node.none].map((check) => check.message).join("; "),
  })));
  return {
    scheme: matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light",
    width: innerWidth, wide: document.documentElement.scrollWidth,
    closed: document.querySelectorAll("details:not([open])").length,
    elements: document.querySelectorAll("*").length,
    violations: told(rules.violations), incomplete: told(rules.incomplete),
  };`;
// What a box scrolls sideways is laid open: axe cannot tell what it does not see.
const OPENED = `
  for (const element of document.querySelectorAll("*"))
    if (/auto|scroll/.test(getComputedStyle(element).overflowX)) element.style.overflow = "visible";
  const { violations, incomplete } = await axe.run(document, {
    runOnly: { type: "rule", values: ["color-contrast"] }, resultTypes: ["violations", "incomplete"],
  });
  const targets = (list) => list.flatMap((rule) => rule.nodes.map((node) => node.target.join(" ")));
  return { violations: targets(violations), incomplete: targets(incomplete) };`;
const TEXTS = `
  window.texts = targets.map((target) => {
    const element = document.querySelector(target);
    const css = getComputedStyle(element);
    const size = parseFloat(css.fontSize);
    const ranges = [];
    const walk = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
    for (let text; (text = walk.nextNode());) {
      if (text.parentElement !== element || !text.data.trim()) continue;
      const range = document.createRange();
      range.selectNodeContents(text);
      ranges.push(range);
    }
    return {
      target, element, ranges, colour: element instanceof SVGElement ? css.fill : css.color,
      least: size >= 24 || (size >= 18.66 && css.fontWeight >= 700) ? 3 : 4.5,
      counts: new Map(), all: 0, seen: false,
    };
  });
  const style = document.createElement("style");
  style.textContent = "*,*::before,*::after,::marker{color:transparent!important;transition:none!important}html{scroll-behavior:auto!important}svg text,svg tspan{fill:transparent!important;stroke:none!important}";
  document.head.append(style);`;
// Brings the first text that was not looked at yet into view; says whether there was one.
const NEXT = `
  const next = texts.find((text) => !text.seen);
  if (!next) return false;
  next.seen = true;
  next.element.scrollIntoView({ block: "center", inline: "center" });
  await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
  const box = (rect) => [rect.left, rect.top, rect.right, rect.bottom];
  window.shown = [];
  for (const text of texts) {
    const boxes = text.ranges.flatMap((range) => [...range.getClientRects()].map(box));
    const whole = boxes.every(([l, t, r, b]) => l >= 0 && t >= 0 && r <= innerWidth && b <= innerHeight);
    if (text !== next && (text.seen || !whole)) continue;
    text.seen = true;
    shown.push([text, boxes]);
  }
  return true;`;
const COUNT = `
  const image = new Image();
  image.src = "data:image/png;base64," + png;
  await image.decode();
  const canvas = new OffscreenCanvas(image.width, image.height);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  context.drawImage(image, 0, 0);
  for (const [text, boxes] of shown) for (const [left, top, right, bottom] of boxes) {
    const y = Math.max(Math.floor(top), 0), high = Math.min(Math.ceil(bottom), image.height) - y;
    const x = Math.max(Math.floor(left), 0), wide = Math.min(Math.ceil(right), image.width) - x;
    if (high <= 0 || wide <= 0) continue;
    const { data } = context.getImageData(x, y, wide, high);
    for (let at = 0; at < data.length; at += 4) {
      const colour = (data[at] << 16) | (data[at + 1] << 8) | data[at + 2];
      text.counts.set(colour, (text.counts.get(colour) ?? 0) + 1);
      text.all += 1;
    }
  }`;
const SETTLED = `
  const light = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  return texts.map(({ target, colour, counts, all, least }) => {
    const ink = (colour.match(/[\\d.]+/g) ?? []).map(Number);
    let worst = Infinity;
    for (const [ground, count] of counts) if (count >= all / 20) {
      const [a, b] = [light(ink), light([ground >> 16, (ground >> 8) & 255, ground & 255])];
      worst = Math.min(worst, (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05));
    }
    return { target, all, ratio: worst, least, fits: ink.length === 3 && all > 0 && worst >= least };
  });`;
const inPage = (body, values = {}) => evaluate(
  `(async (${Object.keys(values)}) => {${body}})(${Object.values(values).map((v) => JSON.stringify(v))})`,
);

/** Settles by pixels which texts stand out; returns those that do not. */
async function unsettled(contrasts) {
  const opened = await inPage(OPENED);
  const still = new Set(opened.incomplete);
  const bad = contrasts.filter((node) => opened.violations.includes(node.target));
  contrasts = contrasts.filter((node) => still.has(node.target));
  if (!contrasts.length) return bad;
  await inPage(TEXTS, { targets: contrasts.map((node) => node.target) });
  while (await inPage(NEXT)) {
    const { data } = await call("Page.captureScreenshot", { format: "png" });
    await inPage(COUNT, { png: data });
  }
  const settled = await inPage(SETTLED);
  return [...bad, ...contrasts.map((node, n) => ({ ...node, ...settled[n] })).filter((node) => !node.fits)];
}

const found = [];
try {
  const { targetId } = await call("Target.createTarget", { url: "about:blank" });
  ({ sessionId } = await call("Target.attachToTarget", { targetId, flatten: true }));
  await call("Page.enable");
  // A page behind another one is not drawn.
  await call("Page.bringToFront");
  // The page forbids foreign scripts; what is put in here comes through the debugger.
  await call("Page.setBypassCSP", { enabled: true });
  const script = readFileSync(axe, "utf8");
  for (const page of pages) {
    for (const width of [360, 1280]) {
      await call("Emulation.setDeviceMetricsOverride", {
        width, height: 800, deviceScaleFactor: 1, mobile: false,
      });
      await call("Emulation.setEmulatedMedia", {
        features: [{ name: "prefers-color-scheme", value: scheme }],
      });
      const loaded = new Promise((done) => events.set("Page.loadEventFired", done));
      await call("Page.navigate", { url: pathToFileURL(resolve(page)).href });
      await loaded;
      await evaluate("for (const fold of document.querySelectorAll('details')) fold.open = true");
      await evaluate(`${script};0`);
      const view = await inPage(LOOK);
      const contrasts = view.incomplete.filter((node) => node.rule === "color-contrast");
      view.settled = contrasts.length;
      view.incomplete = view.incomplete.filter((node) => node.rule !== "color-contrast");
      view.incomplete.push(...(contrasts.length ? await unsettled(contrasts) : []));
      view.settled -= view.incomplete.filter((node) => node.rule === "color-contrast").length;
      found.push({ page, ...view });
    }
  }
} finally {
  browser.kill();
  await new Promise((done) => (browser.exitCode === null && browser.signalCode === null ? browser.on("exit", done) : done()));
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
}
console.log(JSON.stringify(found));
