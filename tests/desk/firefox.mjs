// Journeys in Firefox, over WebDriver BiDi: `node firefox.mjs FOLDER-OF-PUPPETEER FIREFOX ADDRESS [counter]`: the newcomer's, or
// that of counter and course. Says what it heard.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const [folder, executablePath, address, which] = process.argv.slice(2);
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
  await page.goto(address);
  await (which === "counter" ? counterAndCourse() : newcomer());
  console.log(JSON.stringify(heard));

  async function newcomer() {
    const verdict = "document.querySelector('#f-verdict .verdict')?.innerText";
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
  }

  async function counterAndCourse() {
    const typed = async (field, words) => {
      await until(`document.getElementById('${field}')`);
      await page.evaluate(`document.getElementById('${field}').focus()`);
      await page.keyboard.type(words);
    };
    await until("document.querySelector('#grid')");
    await page.evaluate("location.hash = '/counter'");
    for (const [field, words, part] of [["q-camera", "tarn tur", "tarnwell/turret-5"], ["q-recorder", "hyb", "tarnwell/hybrid-8"]]) {
      await typed(field, words);
      await until(`document.querySelector('#pick [aria-selected=true]')?.dataset.value === '${part}'`);
      await page.keyboard.press("Enter");
    }
    await until("document.querySelector('#spoken')?.innerText.includes('tarnwell/hybrid-8')");
    await page.evaluate("document.querySelector('[data-do=counter-site]').click()");
    await until("document.getElementById('grid') && location.hash === '#/site/cameras' && document.title.includes('tarnwell/turret-5 on')");
    await page.evaluate("location.hash = '/course/practice/power/1/0/0'");
    await until("document.querySelector('[data-do=course-answer], #q-given')");
    await page.evaluate("(document.querySelector('.option[data-do=course-answer]') ?? document.getElementById('q-given')).focus()");
    await page.keyboard.type("1");
    await page.keyboard.press("Enter");
    await until("document.querySelector('#course-said .said')");
    await page.evaluate("location.hash = '/course/diagnosis/here/1'");
    await until("document.querySelector('#h-case, .say.warn')");
  }
} finally {
  await browser.close();
}
