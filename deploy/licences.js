// The licences of packages that are put together with ours: most ask that their text goes with every copy.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const HEAD = `tagline is put together with the packages below. Each is under the licence that stands with it.
`;

/** The licence's text by itself (spdx.org/licenses/MIT), for packages that name it and bring no file. */
const MIT = `Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated
documentation files (the "Software"), to deal in the Software without restriction, including without limitation the
rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit
persons to whom the Software is furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of the
Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE
WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR
COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR
OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.`;

const FILE = /^(licen[cs]e|copying|notice)/i;

/**
 * One text with the licence of every package that these modules are of, by name.
 *
 * @throws where a package brings no licence that may be written down here: somebody has to look
 */
export function licencesOf(modules) {
  const folders = new Set(modules.filter((id) => id.includes('node_modules')).map(packageOf));
  const packages = [...folders].map((folder) => ({ folder, ...manifestOf(folder) }));
  packages.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  return [HEAD, ...new Set(packages.map(one))].join(`\n${'-'.repeat(80)}\n\n`);
}

function one({ folder, name, version, license, author, repository, homepage }) {
  const texts = readdirSync(folder)
    .filter((file) => FILE.test(file))
    .sort();
  const from = repository?.url ?? repository ?? homepage ?? `https://www.npmjs.com/package/${name}`;
  const head = `${name} ${version}\n${license}\n${from}\n\n`;
  if (texts.length > 0) {
    return `${head}${texts.map((file) => readFileSync(join(folder, file), 'utf8').trim()).join('\n\n')}\n`;
  }
  if (license !== 'MIT') throw new Error(`${name} brings no text of its licence (${license})`);
  const by = author?.name ?? author;
  return `${head}${by === undefined ? '' : `By ${by}\n\n`}${MIT}\n`;
}

/** The folder of the package that a module is of; packages have further manifests inside that name nobody. */
function packageOf(module) {
  let folder = dirname(module.replace(/^\0/, '').replace(/\?.*$/, ''));
  while (manifestOf(folder)?.version === undefined) {
    const above = dirname(folder);
    if (above === folder) throw new Error(`${module} is of no package`);
    folder = above;
  }
  return folder;
}

function manifestOf(folder) {
  const path = join(folder, 'package.json');
  return existsSync(path) ? JSON.parse(readFileSync(path, 'utf8')) : undefined;
}
