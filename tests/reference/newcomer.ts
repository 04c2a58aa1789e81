import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const setting = (name: string): string =>
  spawnSync('npm', ['config', 'get', name], { encoding: 'utf8' }).stdout.trim();

/** A folder of its own with an empty home, and commands that run in it as a newcomer's would. */
export interface Stranger {
  readonly folder: string;
  /** Runs a line of the shell in a folder; tells what went wrong by throwing. */
  run(
    line: string,
    cwd?: string,
    env?: NodeJS.ProcessEnv,
  ): { readonly stdout: string; readonly stderr: string };
  leave(): void;
}

/**
 * Nothing of this user's is seen but the way to npm's registry, and the copies of packages that npm has fetched before:
 * what is tested is the README, and not the network.
 */
export function openStranger(name: string): Stranger {
  const folder = mkdtempSync(join(tmpdir(), `etchwright-test-${name}-`));
  const home = join(folder, 'home');
  mkdirSync(home);
  const kept = Object.entries(process.env).filter(([key]) => !/^(npm_|NODE_|VITEST|INIT_CWD)/i.test(key));
  const env: NodeJS.ProcessEnv = {
    ...Object.fromEntries(kept),
    HOME: home,
    NO_COLOR: '1',
    npm_config_registry: setting('registry'),
    npm_config_cache: setting('cache'),
    npm_config_prefer_offline: 'true',
    npm_config_audit: 'false',
    npm_config_fund: 'false',
    npm_config_update_notifier: 'false',
  };
  return {
    folder,
    run(line, cwd = folder, more = {}) {
      const { status, stdout, stderr } = spawnSync('bash', ['-c', `set -o pipefail\n${line}`], {
        cwd,
        env: { ...env, ...more },
        encoding: 'utf8',
        input: '',
      });
      if (status !== 0) throw new Error(`${line}\nended with ${status}\n${stdout}\n${stderr}`);
      return { stdout, stderr };
    },
    leave: () => rmSync(folder, { recursive: true, force: true }),
  };
}
