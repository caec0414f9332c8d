/**
 * A Slurm of one node in a folder of its own, for a test: controller, node daemon and munge under the present user (root).
 * Nothing outside the folder is touched.
 */
import { spawn, spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';

/** Starts it. @returns the environment for sbatch and its kin, and a function that ends it */
export async function startSlurm(folder, port) {
  for (const name of ['munge', 'state', 'spool', 'log']) mkdirSync(join(folder, name), { recursive: true });
  const socket = join(folder, 'munge', 'socket');
  const key = join(folder, 'munge', 'key');
  writeFileSync(key, randomBytes(128));
  chmodSync(key, 0o400);
  chmodSync(join(folder, 'munge'), 0o711);
  const name = hostname().split('.')[0];
  const conf = join(folder, 'slurm.conf');
  writeFileSync(conf, [
    'ClusterName=test', `SlurmctldHost=${name}(127.0.0.1)`, 'SlurmUser=root', 'SlurmdUser=root', `SlurmctldPort=${port}`,
    `SlurmdPort=${port + 1}`, 'AuthType=auth/munge', `AuthInfo=socket=${socket}`, 'CredType=cred/munge',
    `StateSaveLocation=${join(folder, 'state')}`, `SlurmdSpoolDir=${join(folder, 'spool')}`,
    `SlurmctldPidFile=${join(folder, 'slurmctld.pid')}`, `SlurmdPidFile=${join(folder, 'slurmd.pid')}`,
    `SlurmctldLogFile=${join(folder, 'log', 'slurmctld')}`, `SlurmdLogFile=${join(folder, 'log', 'slurmd')}`,
    'ProctrackType=proctrack/pgid', 'TaskPlugin=task/none', 'SelectType=select/cons_tres', 'SelectTypeParameters=CR_CPU',
    'ReturnToService=2', 'MpiDefault=none', 'SchedulerParameters=sched_interval=1,batch_sched_delay=0', 'KillWait=2',
    'MinJobAge=300', `NodeName=${name} NodeAddr=127.0.0.1 CPUs=2 RealMemory=4000 State=UNKNOWN`,
    `PartitionName=all Nodes=${name} Default=YES MaxTime=INFINITE State=UP OverSubscribe=NO`, '',
  ].join('\n'));
  const version = existsSync('/sys/fs/cgroup/cgroup.controllers') ? 'v2' : 'v1';
  writeFileSync(join(folder, 'cgroup.conf'), `CgroupPlugin=cgroup/${version}\n`);
  const env = { ...process.env, SLURM_CONF: conf };
  const munge = spawnSync('munged', [
    `--socket=${socket}`, `--key-file=${key}`, `--log-file=${join(folder, 'log', 'munged')}`, `--pid-file=${join(folder, 'munge', 'pid')}`,
    `--seed-file=${join(folder, 'munge', 'seed')}`, '--force',
  ], { encoding: 'utf8' });
  if (munge.status !== 0) throw new Error(`munged does not start: ${munge.stderr}`);
  const daemons = [
    spawn('slurmctld', ['-D', '-f', conf], { env, stdio: 'ignore' }), spawn('slurmd', ['-D', '-f', conf, '-N', name], { env, stdio: 'ignore' }),
  ];
  const stop = () => {
    for (const daemon of daemons) daemon.kill('SIGKILL');
    spawnSync('munged', ['--stop', `--socket=${socket}`, `--pid-file=${join(folder, 'munge', 'pid')}`, `--key-file=${key}`]);
  };
  for (let i = 0; i < 60; i++) {
    const { stdout } = spawnSync('sinfo', ['-h', '-o', '%T'], { env, encoding: 'utf8' });
    if (/^(idle|mixed|allocated)/.test(stdout ?? '')) return { env, stop };
    await new Promise((done) => setTimeout(done, 500));
  }
  stop();
  throw new Error('Slurm has no node ready after 30 s; see its logs');
}
