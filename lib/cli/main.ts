#!/usr/bin/env node
import { runCommandLine } from './program.js';

const screen = {
  out: (text: string) => process.stdout.write(`${text}\n`),
  err: (text: string) => process.stderr.write(`${text}\n`),
};

// A reader that has seen enough (head, less) closes the pipe; that is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

void runCommandLine(process.argv.slice(2), screen).then((code) => {
  process.exitCode = code;
});
