import { fontStack } from "../chart/sheet.ts";
import { themeRules } from "./page-theme.ts";

/** The one style sheet of a report. */
export function pageStyle(fontFaces: string): string {
  const [light, dark] = [themeRules("light"), themeRules("dark")];
  return `${fontFaces}
:root{${light}}
@media (prefers-color-scheme:dark){:root:not([data-theme="light"]){${dark}}}
:root[data-theme="dark"]{${dark}}
*{box-sizing:border-box}
[hidden]{display:none!important}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 ${fontStack};overflow-wrap:anywhere}
main,header,footer{max-width:76rem;margin:0 auto;padding:0 1rem}
header{padding-top:2.2rem}
h1{font-size:clamp(1.7rem,4.5vw,2.6rem);line-height:1.15;margin:0 0 .4rem}
h2{font-size:1.6rem;line-height:1.2;margin:3rem 0 .8rem}
h3{font-size:1.15rem;margin:1.6rem 0 .4rem}
p,li,dd{max-width:46rem}
.lead{font-size:1.2rem}
.quiet,figcaption,.note{color:var(--quiet)}
figcaption,.note{font-size:.92rem}
nav ul{list-style:none;padding:0;margin:1rem 0;display:flex;flex-wrap:wrap;gap:.3rem 1.1rem}
a{color:inherit;text-underline-offset:.15em}
:focus-visible{outline:3px solid var(--config-0);outline-offset:2px}
.skip{position:absolute;left:-999rem}
.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.4rem .8rem}
.controls{display:flex;gap:.6rem;flex-wrap:wrap;margin:1rem 0}
button{font:inherit;color:inherit;background:var(--band);border:1px solid var(--quiet);border-radius:.4rem;padding:.3rem .8rem;cursor:pointer}
.figures{margin:1.2rem 0;display:grid;grid-template-columns:repeat(auto-fit,minmax(min(20rem,100%),1fr));gap:1.2rem 2rem;align-items:start}
.figures.pair{grid-template-columns:repeat(auto-fit,minmax(min(22rem,100%),1fr))}
figure{margin:0;min-width:0}
figure h3,figure h4{margin:.4rem 0 .1rem;font-size:1.05rem}
figure .sub{margin:0 0 .4rem;color:var(--quiet);font-size:.92rem}
figure svg{display:block;width:100%;height:auto;max-width:36rem}
.legend{list-style:none;display:flex;flex-wrap:wrap;gap:.1rem 1.1rem;padding:0;margin:.2rem 0 .4rem;font-size:.95rem}
.legend svg{display:inline-block;width:.95em;height:.95em;vertical-align:-.08em;margin-right:.35em}
.scroll{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;font-variant-numeric:tabular-nums;font-size:.95rem;width:100%;overflow-wrap:normal}
caption{text-align:left;color:var(--quiet);padding:.2rem 0}
th,td{text-align:left;padding:.35rem .7rem .35rem 0;border-bottom:1px solid var(--grid);vertical-align:top}
td.name{overflow-wrap:anywhere;min-width:8rem}
td .interval{display:block;color:var(--quiet);white-space:nowrap}
td .words{white-space:nowrap}
td .words.called{font-weight:600}
th{font-weight:600}
th button{all:unset;cursor:pointer;font-weight:600}
th button:focus-visible{outline:3px solid var(--config-0);outline-offset:2px}
th button::after{content:" \\2195";color:var(--quiet)}
th[aria-sort="ascending"] button::after{content:" \\2191";color:var(--ink)}
th[aria-sort="descending"] button::after{content:" \\2193";color:var(--ink)}
section.game{border-top:1px solid var(--grid);margin-top:2.4rem}
section.game h2{margin-top:1.4rem}
details{margin:.8rem 0}
summary{cursor:pointer;font-weight:600}
dl{display:grid;grid-template-columns:fit-content(16rem) 1fr;gap:.2rem 1.2rem}
dt{color:var(--quiet)}
dd{margin:0}
@media (max-width:40rem){dl{grid-template-columns:1fr}dd{margin-bottom:.4rem}}
footer{margin-top:4rem;padding-bottom:3rem;border-top:1px solid var(--grid);padding-top:1rem}
@media print{
:root,:root[data-theme="dark"]{${light}}
.controls,nav,.skip{display:none}
body{font-size:11pt}
figure,tr,li{break-inside:avoid}
h2,h3{break-after:avoid}
.scroll{overflow:visible}
table{font-size:8.5pt}
th button::after{content:""}
}`;
}
