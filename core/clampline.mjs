#!/usr/bin/env node
// Starts the command line from any folder: lets Node read TypeScript, then hands over.
import { register } from 'tsx/esm/api';

register();
await import('./cli.ts');
