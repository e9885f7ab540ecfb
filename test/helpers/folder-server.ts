/** The built page as a plain static host has it, in a folder below its root; it can be shut, opened again on the same port,
 * and given a newer service worker. */
import { createServer, type Server, type ServerResponse } from 'node:http';
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';

const FOLDER = '/shed/any folder/';

export class FolderServer {
  readonly #from: string;
  #server: Server | null = null;
  #port = 0;
  /** Behind the service worker's own text: what makes it another. */
  #behindWorker = '';

  /** @param from address of the built page, with a slash at its end */
  constructor(from: string) {
    this.#from = from;
  }

  get address(): string {
    return `http://127.0.0.1:${this.#port}${encodeURI(FOLDER)}`;
  }

  async open(): Promise<void> {
    const server = createServer(({ url }, response) => void this.#answer(url ?? '/', response));
    server.listen(this.#port, '127.0.0.1');
    await once(server, 'listening');
    this.#port = (server.address() as AddressInfo).port;
    this.#server = server;
  }

  /** Ends the server and every connection. */
  async shut(): Promise<void> {
    const server = this.#server;
    this.#server = null;
    if (!server) return;
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }

  /** From here on the page's service worker is a newer one. */
  makeNewer(): void {
    this.#behindWorker = '\n// newer';
  }

  async #answer(url: string, response: ServerResponse): Promise<void> {
    const path = decodeURI(url.split('?')[0]!);
    const found = path.startsWith(FOLDER) ? await fetch(this.#from + path.slice(FOLDER.length)) : null;
    const type = found?.headers.get('content-type') ?? 'text/plain';
    const body = found?.ok ? Buffer.from(await found.arrayBuffer()) : null;
    response.writeHead(body ? 200 : 404, { 'content-type': type, 'cache-control': 'no-cache' });
    response.end(body && path.endsWith('/sw.js') ? body.toString() + this.#behindWorker : body);
  }
}
