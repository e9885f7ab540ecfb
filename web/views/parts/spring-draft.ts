/** A spring as it is being written down, figures still missing; the whole spring once they are there. */
import type { Spring, SpringMaterial } from '../../../core/job';

export type KnownBy = 'hung' | 'coil' | 'runs';

export interface SpringDraft {
  readonly name: string;
  readonly by: KnownBy;
  readonly massG: number | null;
  readonly stretchMm: number | null;
  readonly wireMm: number | null;
  readonly coilMm: number | null;
  readonly activeCoils: number | null;
  readonly material: SpringMaterial;
  readonly notes: string;
}

/** @param spring null: a new one */
export function draftSpring(spring: Spring | null): SpringDraft {
  const { hung = null, coil = null } = spring ?? {};
  return {
    name: spring?.name ?? '',
    by: hung || !spring ? 'hung' : coil ? 'coil' : 'runs',
    massG: hung?.massG ?? null,
    stretchMm: hung?.stretchMm ?? null,
    wireMm: coil?.wireMm ?? null,
    coilMm: coil?.coilMm ?? null,
    activeCoils: coil?.activeCoils ?? null,
    material: coil?.material ?? 'music wire',
    notes: spring?.notes ?? '',
  };
}

/** What was typed the other way stays with the spring; the way that is chosen must be whole.
 * @returns null while its name or a figure is missing, or its wire is thicker than its coil */
export function springOf(draft: SpringDraft, id: string): Spring | null {
  const { massG, stretchMm, wireMm, coilMm, activeCoils, material } = draft;
  const name = draft.name.trim();
  const hung = draft.by === 'hung' && massG !== null && stretchMm !== null ? { massG, stretchMm } : null;
  const coil =
    wireMm !== null && coilMm !== null && activeCoils !== null && wireMm < coilMm
      ? { wireMm, coilMm, activeCoils, material }
      : null;
  if (!name || (draft.by === 'hung' && !hung) || (draft.by === 'coil' && !coil)) return null;
  return { id, name, hung, coil: draft.by === 'runs' ? null : coil, notes: draft.notes.trim() };
}
