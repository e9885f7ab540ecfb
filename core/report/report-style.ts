/** How the report looks: a plate with scribed lines, for paper first. One page of A4 or Letter for a usual run. */

export const REPORT_STYLE = `
@page { margin: 10mm 11mm; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { max-width: 190mm; margin: 0 auto; padding: 4mm; color: #131d45; background: #fff;
  font: 8.5pt/1.3 system-ui, 'Liberation Sans', sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
header { border-bottom: 0.5mm solid #131d45; padding-bottom: 1.5mm; }
h1 { font-size: 14pt; line-height: 1.15; }
h2 { font-size: 9.5pt; margin: 2.2mm 0 0.8mm; border-bottom: 0.25mm solid #444d71; }
.soft, dt, th { color: #444d71; text-align: left; }
dt, th { font-weight: 600; }
.top { display: grid; grid-template-columns: minmax(0, 1fr) 58mm; gap: 4mm; }
.top svg { width: 100%; height: auto; display: block; }
.two { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 5mm; }
dl { display: grid; grid-template-columns: auto 1fr; gap: 0 2.5mm; }
dd { text-align: right; }
ul { padding-left: 4mm; }
table { border-collapse: collapse; width: 100%; }
td, th { padding: 0.1mm 1.5mm 0.1mm 0; border-bottom: 0.15mm solid #c9d0ec; vertical-align: top; }
.readings { display: grid; grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 0 4mm; align-items: start; font-size: 8pt; line-height: 1.2; }
.readings.four { grid-template-columns: repeat(4, minmax(0, 1fr)); }
th, td:first-child, .readings td, .trials td { overflow-wrap: normal; white-space: nowrap; }
.trials td:nth-child(2), .trials td:last-child { white-space: normal; }
.trials { font-size: 0.92em; }
.work { list-style: none; padding: 0; }
.work li { margin-bottom: 1mm; break-inside: avoid; }
.state { font-weight: 700; color: #131d45; }
.caution { border-left: 1.2mm solid #8a3204; padding-left: 1.5mm; }
.notes { white-space: pre-line; }
footer { margin-top: 2mm; padding-top: 1mm; border-top: 0.5mm solid #131d45; font-size: 7.5pt; line-height: 1.25; }
h2, tr { break-inside: avoid; break-after: avoid-page; }
.close { font-size: 7.9pt; line-height: 1.25; }
.dense { font-size: 7.3pt; line-height: 1.2; }
.densest { font-size: 6.6pt; line-height: 1.15; }
.close h1, .dense h1, .densest h1 { font-size: 12pt; }
.close h2, .dense h2, .densest h2 { font-size: 1.12em; margin: 1.3mm 0 0.4mm; }
.close .readings, .dense .readings, .densest .readings { font-size: 0.96em; line-height: 1.15; }
.close footer, .dense footer, .densest footer { font-size: 0.94em; line-height: 1.2; margin-top: 1mm; }
.close .work li, .dense .work li, .densest .work li { margin-bottom: 0.4mm; }
.close .top, .dense .top { grid-template-columns: minmax(0, 1fr) 66mm; }
.densest .top { grid-template-columns: minmax(0, 1fr) 78mm; }
.densest .work { columns: 2; column-gap: 5mm; }
@media print { body { max-width: none; padding: 0; } }
@media (max-width: 700px) { .top, .two, .readings { grid-template-columns: minmax(0, 1fr); } body { font-size: 11pt; } }
`;
