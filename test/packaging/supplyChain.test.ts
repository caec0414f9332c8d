/** The lock file holds every package exactly, all may be handed on, and none has to run anything to be installed. */
import { pathToFileURL } from 'node:url';
import { beforeAll, expect, it } from 'vitest';

interface Locked {
  readonly name: string;
  readonly version: string;
  readonly license: string;
  readonly isForUsers: boolean;
  readonly hasScript: boolean;
  readonly integrity?: string;
}

interface SupplyChain {
  readonly PERMISSIVE: readonly string[];
  readonly INSTALL_SCRIPTS: Readonly<Record<string, string>>;
  lockedPackages(): Locked[];
  billOfMaterials(): string;
}

let chain: SupplyChain;
let locked: readonly Locked[];
beforeAll(async () => {
  chain = await import(pathToFileURL('test/tools/supplyChain.mjs').href) as SupplyChain;
  locked = chain.lockedPackages();
});

it('every package is held by its exact version and SHA-512', () => {
  for (const { name, version, integrity } of locked) {
    expect(version, name).toMatch(/^\d+\.\d+\.\d+/);
    expect(integrity, name).toMatch(/^sha512-/);
  }
});

it('what users get is under permissive licences, and nothing is without one', () => {
  for (const { name, license, isForUsers } of locked) {
    if (isForUsers) for (const one of license.replaceAll(/[()]/g, '').split(/ AND | OR /)) expect(chain.PERMISSIVE, name).toContain(one);
    expect(license, name).not.toBe('not stated');
  }
});

it('nothing that users get runs a script at installation, and what else does is known', () => {
  expect(locked.filter(({ hasScript, isForUsers }) => hasScript && isForUsers)).toEqual([]);
  expect(locked.filter(({ hasScript }) => hasScript).map(({ name }) => name).sort()).toEqual(Object.keys(chain.INSTALL_SCRIPTS).sort());
});

it('the bill of materials is CycloneDX and lists every package', () => {
  const bill = JSON.parse(chain.billOfMaterials());
  expect(bill).toMatchObject({ bomFormat: 'CycloneDX', specVersion: '1.5' });
  const listed = new Set(bill.components.map(({ name, version }: { name: string; version: string }) => `${name}@${version}`));
  for (const { name, version, isForUsers } of locked) if (isForUsers) expect(listed).toContain(`${name}@${version}`);
});
