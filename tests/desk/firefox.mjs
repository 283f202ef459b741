// The newcomer's journey in Firefox, over WebDriver BiDi: `node firefox.mjs FOLDER-OF-PUPPETEER FIREFOX ADDRESS`. Says what it heard.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const [folder, executablePath, address] = process.argv.slice(2);
const found = createRequire(`${folder}/`).resolve("puppeteer-core");
const { default: puppeteer } = await import(pathToFileURL(found).href);
const browser = await puppeteer.launch({ browser: "firefox", executablePath, headless: true });
const heard = [];
try {
  const page = await browser.newPage();
  await page.setViewport({ width: 1300, height: 900 });
  page.on("console", (message) => heard.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => heard.push(`error: ${error.message}`));
  page.on("dialog", (dialog) => heard.push(`dialog: ${dialog.message()}`));
  const until = (script) => page.waitForFunction(script, { timeout: 60000, polling: 100 });
  const verdict = "document.querySelector('#f-verdict .verdict')?.innerText";
  await page.goto(address);
  if (address.startsWith("file:")) {
    await until("document.querySelector('[data-do=example]')");
    await page.evaluate("document.querySelector('[data-do=example]').click()");
  }
  await until(`${verdict}?.includes('2 cameras of 5 and 1 recorder have errors')`);
  await page.evaluate("document.getElementById('c/cameras/gate/power/over/0/length').focus()");
  await page.keyboard.type("30");
  await page.keyboard.press("Enter");
  await until(`${verdict}.includes('1 camera of 5')`);
  await page.evaluate("[...document.querySelectorAll('.todo h3 button')].find(each => each.innerText.startsWith('The way from glasshouse')).click()");
  await until("document.querySelector('[data-do=apply]')");
  await page.evaluate("document.querySelector('[data-do=apply]').click()");
  await until("document.getElementById('notice').innerText.includes('Errors 2 → 1')");
  await until("document.activeElement.innerText === 'Undo this'");
  await page.keyboard.press("Enter");
  await until("document.getElementById('stands').innerText === '1 change not saved'");
  await page.keyboard.down("Control");
  await page.keyboard.press("y");
  await until("document.getElementById('stands').innerText === '2 changes not saved'");
  await page.keyboard.press("s");
  await page.keyboard.up("Control");
  await until("document.getElementById('notice').innerText.includes('Saved.')");
  console.log(JSON.stringify(heard));
} finally {
  await browser.close();
}
