// Opens pages in Chromium at several widths, light and dark, all folds open, and lets axe-core look at each.
//
// node axe.mjs CHROMIUM AXE_CORE PAGE… prints one JSON object: for every view its violations and what axe could not
// decide. Chromium is spoken to through the two pipes of its DevTools protocol, so that nothing else is needed.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [chromium, axe, ...pages] = process.argv.slice(2);
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

const found = [];
try {
  const { targetId } = await call("Target.createTarget", { url: "about:blank" });
  ({ sessionId } = await call("Target.attachToTarget", { targetId, flatten: true }));
  await call("Page.enable");
  // The page forbids foreign scripts; what is put in here comes through the debugger.
  await call("Page.setBypassCSP", { enabled: true });
  const script = readFileSync(axe, "utf8");
  for (const page of pages) {
    for (const width of [360, 1280]) {
      for (const scheme of ["light", "dark"]) {
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
        const view = await evaluate(`axe.run(document, { runOnly: ${JSON.stringify(TAGS)},
          resultTypes: ["violations", "incomplete"] }).then(({ violations, incomplete }) => {
            const told = (rules) => rules.flatMap((rule) => rule.nodes.map((node) => ({
              rule: rule.id, target: node.target.join(" "), html: node.html.slice(0, 200),
              why: [...node.any, ...node.all, ...node.none].map((check) => check.message).join("; "),
              data: [...node.any, ...node.all, ...node.none].map((check) => check.data),
            })));
            return {
              scheme: matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light",
              width: innerWidth, wide: document.documentElement.scrollWidth,
              folds: document.querySelectorAll("details:not([open])").length,
              nodes: document.querySelectorAll("*").length,
              violations: told(violations), incomplete: told(incomplete),
            };
          })`);
        found.push({ page, ...view });
      }
    }
  }
} finally {
  browser.kill();
  await new Promise((done) => (browser.exitCode === null && browser.signalCode === null ? browser.on("exit", done) : done()));
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
}
console.log(JSON.stringify(found));
