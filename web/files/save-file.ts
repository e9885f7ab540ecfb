/** Hands a file to the person: a save dialogue where the browser has one, else a download. */
import { fileSave } from 'browser-fs-access';

export interface FileToSave {
  readonly name: string;
  readonly description: string;
  readonly mimeType: string;
  /** Made while the person chooses a place: a browser asks for one only in the moment after a tap. */
  readonly content: Promise<Blob>;
}

/** @returns false where the person thought better of it
 * @throws what making or writing it refused */
export async function saveFile({ name, description, mimeType, content }: FileToSave): Promise<boolean> {
  const extension = name.slice(name.lastIndexOf('.'));
  try {
    await fileSave(content, {
      fileName: name,
      description,
      extensions: [extension],
      mimeTypes: [mimeType],
    });
    return true;
  } catch (error) {
    content.catch(() => undefined);
    if (error instanceof DOMException && error.name === 'AbortError') return false;
    throw error;
  }
}
