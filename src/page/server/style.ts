import { createHash } from 'node:crypto';
import { FAMILY } from '../picture/font.ts';
import { cssVariables, DARK, LIGHT } from '../picture/palette.ts';

export const FONT_PATHS = { regular: '/font/1/regular.ttf', bold: '/font/1/bold.ttf' } as const;

/** Everything a page looks like: one column, big type, no decoration; dark by itself; one sheet when printed. */
export const STYLE = `
:root{color-scheme:light dark;${cssVariables(LIGHT)}}
@media (prefers-color-scheme:dark){:root{${cssVariables(DARK)}}}
@font-face{font-family:"${FAMILY}";src:url(${FONT_PATHS.regular});font-display:swap}
@font-face{font-family:"${FAMILY}";src:url(${FONT_PATHS.bold});font-weight:700;font-display:swap}
*{box-sizing:border-box}
html{font:18px/1.45 "${FAMILY}",sans-serif;background:var(--ground);color:var(--ink)}
body{margin:0;padding:1rem;overflow-wrap:anywhere}
main,footer{max-width:38rem;margin:0 auto}
h1{font-size:1.5rem;line-height:1.2;margin:0 0 .5rem}
h2{font-size:1.15rem;margin:1.6rem 0 .4rem}
p,ul,ol,dl{margin:.4rem 0}
ul,ol{padding-left:1.3rem}
li{margin:.25rem 0}
.lead{font-size:1.15rem;font-weight:700}
.quiet{color:var(--quiet)}
.alarm{border:4px solid var(--mark);padding:.6rem .8rem;margin:.6rem 0}
.alarm h2{margin:0 0 .3rem}
h3{font-size:1rem;margin:.8rem 0 .3rem}
form{margin:.6rem 0}
input,select{font:inherit;color:inherit;background:var(--ground);border:2px solid var(--ink);border-radius:4px;min-height:44px;width:100%;max-width:24rem;padding:.3rem .5rem}
.due{font-weight:700}
dt{color:var(--quiet)}
dd{margin:0 0 .5rem;font-weight:700}
figure{margin:1.2rem 0}
figure svg{display:block;width:100%;height:auto}
figure{max-width:30rem}
@media (max-width:30rem){figure{margin:.6rem -.75rem}}
a,button{color:inherit;text-decoration:underline;text-underline-offset:.2em}
.act{display:inline-block;min-height:44px;padding:.6rem 1rem;border:2px solid var(--ink);border-radius:4px;background:var(--ground);font:inherit;font-weight:700;text-decoration:none;cursor:pointer}
.call{display:block;font-size:1.6rem;text-align:center;background:var(--ink);color:var(--ground)}
a:focus-visible,button:focus-visible,input:focus-visible,select:focus-visible{outline:3px solid var(--fan-edge);outline-offset:3px}
footer{border-top:1px solid var(--night-edge);margin-top:2rem;padding-top:.8rem}
@media (forced-colors:active){figure svg{background:#fff;forced-color-adjust:none}}
@media print{
:root{color-scheme:light;${cssVariables(LIGHT)}}
@page{size:A4 portrait;margin:12mm}
html{font-size:9.5pt;line-height:1.3}
body{padding:0}
main,footer{max-width:none}
.screen,.act:not(.call){display:none}
.call{background:none;color:var(--ink)}
details::details-content{content-visibility:visible;height:auto}
h1{font-size:15pt}
h2{font-size:11pt;margin:2.5mm 0 1mm;break-after:avoid}
p,ul,ol,dl{margin:1mm 0}
li{margin:.4mm 0}
.lead{font-size:12pt}
.columns{columns:2;column-gap:8mm}
.columns section{break-inside:avoid}
.columns section.long{break-inside:auto}
.picture{float:right;width:84mm;margin:0 0 2mm 6mm}
figure{max-width:none;margin:0}
figure svg{max-height:105mm}
footer{clear:both}
.old{display:none}
footer{margin-top:3mm;padding-top:1mm}
}
`.trim();

/** What a content security policy names the style sheet by. */
export const STYLE_HASH = `'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`;
