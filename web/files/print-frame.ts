/** A document to the printer: its text and its style in, a frame that nobody sees and the browser's dialogue out. */

/** @param html without a style of its own: the page's security policy refuses any that is written into a document
 * @param style put in as a sheet, which the policy allows
 * @param host where the frame may live; it goes when the dialogue closes */
export function printInFrame(html: string, style: string, title: string, host: HTMLElement): void {
  const frame = document.createElement('iframe');
  frame.title = title;
  frame.style.cssText = 'position:fixed;inset:auto 100% 100% auto;width:1px;height:1px;border:0';
  frame.onload = () => {
    const page = frame.contentWindow as (Window & typeof globalThis) | null;
    if (!page) return;
    const sheet = new page.CSSStyleSheet();
    sheet.replaceSync(style);
    page.document.adoptedStyleSheets = [sheet];
    page.addEventListener('afterprint', () => frame.remove());
    page.print();
  };
  frame.srcdoc = html;
  host.append(frame);
}
