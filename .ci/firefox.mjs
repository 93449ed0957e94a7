// Opens the app in Firefox and holds the figures of every question against those that the
// program prints for the line that the app gives to type. Run by .ci/firefox.
import { execFileSync } from "node:child_process";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const faults = [];
const browser = await puppeteer.launch({ browser: "firefox", executablePath: process.argv[2], headless: true });
const page = await browser.newPage();
page.on("pageerror", (e) => faults.push(`script: ${e.message}`));
page.on("console", (m) => m.type() === "error" && faults.push(`console: ${m.text()}`));
page.on("request", (r) => /^(https?|wss?):/.test(r.url()) && faults.push(`request: ${r.url()}`));

// settled waits until the app has answered what was asked last.
async function settled() {
	await new Promise((done) => setTimeout(done, 100)); // the app waits so long for more to be typed
	await page.waitForFunction(() => "ready" in document.body.dataset && document.getElementById("app-state").textContent === "" &&
		!document.getElementById("app-panel").hasAttribute("aria-busy"), { timeout: 60_000, polling: 50 });
}

const text = (id) => page.$eval("#" + id, (e) => e.hidden ? "" : e.textContent);

const figures = () => page.evaluate(() => new Promise((done) => {
	const was = URL.createObjectURL;
	URL.createObjectURL = (blob) => { URL.createObjectURL = was; blob.text().then(done); return "#"; };
	[...document.querySelectorAll("#app-saves button")].find((e) => e.textContent === "Figures (JSON)").click();
}));

// printed is what the program prints for a line, whose words are quoted as in a shell.
const printed = (line) => execFileSync("/bin/sh", ["-c", `./${line} --format json`], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });

let compared = 0;
async function every(station) {
	for (const question of await page.$$eval("[role=tab]", (all) => all.map((e) => e.id))) {
		await page.$eval("#" + question, (e) => e.click());
		await settled();
		const fault = await text("app-fault");
		if (fault) {
			if (station === "demo") faults.push(`${question}: ${fault}`);
			continue; // it asks for what a station of one's own lacks
		}
		if (await figures() !== printed(await text("app-line"))) faults.push(`${station}, ${question}: other figures than the command line's`);
		compared++;
		const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
		if (wide > 0) faults.push(`${station}, ${question}: ${wide} px wider than the screen`);
	}
}

await page.setViewport({ width: 1400, height: 900 });
const start = performance.now();
await page.goto(pathToFileURL("app.html").href);
await settled();
const first = performance.now() - start;
await every("demo");
await page.setViewport({ width: 360, height: 780 });
await page.$eval("#app-si", (e) => e.click());
await (await page.$("input[type=file]")).uploadFile("field.csv");
await settled();
await every("field.csv");
await page.$eval("[role=tab]", (e) => e.click());
await settled();
await page.reload();
await settled();
if (!(await text("app-line")).includes("field.csv")) faults.push("after a reload the file is gone");
await browser.close();
console.log(`${compared} answers compared, the first after ${(first / 1000).toFixed(1)} s`);
if (compared < 20) faults.push("too few answers compared");
for (const f of faults) console.error(f);
process.exit(faults.length ? 1 : 0);
