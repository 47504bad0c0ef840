import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const deploy = fileURLToPath(new URL('../../deploy/', import.meta.url));
const unit = readFileSync(`${deploy}tagline.service`, 'utf8');
const analyze = spawnSync('systemd-analyze', ['--version']).status === 0;

/** The unit as it would be installed here: node where it is on this machine. */
function installed(folder: string): string {
  const path = join(folder, 'tagline.service');
  writeFileSync(path, unit.replace('/usr/bin/node', process.execPath));
  return path;
}

test.skipIf(!analyze)('systemd finds nothing wrong with the unit (skipped without systemd)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-unit-'));
  try {
    const { status, stderr } = spawnSync('systemd-analyze', ['verify', installed(folder)], {
      encoding: 'utf8',
    });
    expect(stderr.split('\n').filter((line) => line.includes('tagline.service'))).toEqual([]);
    expect(status).toBe(0);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test.skipIf(!analyze)('systemd rates it as well protected (skipped without systemd)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-unit-'));
  try {
    const said = execFileSync(
      'systemd-analyze',
      ['security', '--offline=true', installed(folder)],
      { encoding: 'utf8' },
    );
    const exposure = Number(/Overall exposure level[^:]*: ([\d.]+)/.exec(said)?.[1]);
    // systemd calls up to 2.0 SAFE or OK; a plain unit is rated 9.6.
    expect(exposure).toBeLessThan(2);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test('the container runs as a normal user and is told to stop by SIGTERM', () => {
  const file = readFileSync(`${deploy}Containerfile`, 'utf8');
  const last = file.slice(file.lastIndexOf('FROM '));
  expect(last).toMatch(/^USER node$/m);
  expect(last).toMatch(/^STOPSIGNAL SIGTERM$/m);
  expect(last.indexOf('USER node')).toBeLessThan(last.indexOf('CMD '));
});

test('every stage of the container is the same Debian image of one exact Node 24', () => {
  const file = readFileSync(`${deploy}Containerfile`, 'utf8');
  const images = [...file.matchAll(/^FROM (\S+)/gm)].map(([, image]) => image);
  expect(images.length).toBeGreaterThan(1);
  expect(new Set(images).size).toBe(1);
  expect(images[0]).toMatch(/^node:24\.\d+\.\d+-(bookworm|trixie)-slim$/);
});

test('the container holds every file that its commands name', () => {
  const file = readFileSync(`${deploy}Containerfile`, 'utf8');
  const sources = [...file.matchAll(/^COPY (?!--from)(.+) \S+$/gm)].flatMap(([, from = '']) =>
    from.split(' '),
  );
  expect(sources).toContain('deploy/build.js');
  expect(sources.filter((path) => !existsSync(`${deploy}../${path}`))).toEqual([]);
});
