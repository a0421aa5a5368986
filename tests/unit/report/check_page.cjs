// Opens a page in Chromium and prints what axe-core finds in it, in light and in dark, as JSON.
// Arguments: the folder with the node modules, the browser, the page.
const [modules, browserPath, page] = process.argv.slice(2);
const { chromium } = require(`${modules}/playwright-core`);
const axe = require(`${modules}/axe-core`).source;

(async () => {
  const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
  const found = {};
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1200, 360]) {
      // The page forbids scripts of its own; the checker's comes from outside.
      const context = await browser.newContext({
        colorScheme,
        bypassCSP: true,
        viewport: { width, height: 900 },
      });
      const tab = await context.newPage();
      await tab.goto(`file://${page}`);
      await tab.evaluate(axe);
      const result = await tab.evaluate(() => axe.run());
      const wider = await tab.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      found[`${colorScheme} ${width}`] = {
        passes: result.passes.length,
        wider,
        violations: result.violations.map(({ id, impact, nodes }) => ({
          id,
          impact,
          where: nodes.slice(0, 3).map((node) => node.html),
        })),
      };
      await context.close();
    }
  }
  await browser.close();
  console.log(JSON.stringify(found));
})();
