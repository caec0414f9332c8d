import { it } from 'vitest';
import { absurdRack } from './ladder/absurdRack.js';
import { Ladder } from '../lib/ladder/ladder.js';
import { Rating } from '../lib/ladder/ratedPower.js';
import { RackModel } from '../lib/ladder/index.js';
it('x', () => { for (const [i,k] of [[64,4],[65,1],[65,8],[454,3],[531,3],[582,4]]) {
 const {rack,scenarios}=absurdRack(i,10); const scenario=scenarios[k]; const m=new RackModel(rack); const r=m.rate(scenario);
 console.log('=====',i,k,JSON.stringify({power:r.power,limit:r.limit,slot:r.slot,rule:r.state.rule,out:r.state.outSlot,sweeps:m.sweeps}), rack.sharing.model, rack.slotCount,'slots',rack.setVoltage,'V', 'states',m.states(scenario).length, 'units', scenario.units.map(u=>u.kind[0]).join(''), JSON.stringify(rack.limits));
 for (const f of [0.5,0.9,0.99,0.999,1-1e-4,1-1e-5,1-1e-6,1,1+1e-6,1+1e-5,1+1e-4,1.001,1.01,1.1,2]) console.log(f, m.states(scenario).map(s=>{ try { const x=m.solutionAt(scenario,r.power*f,s); return x.status==='solved'? x.utilisation.toPrecision(8)+' '+x.binding.limit+' T'+Math.max(...x.supplyTemperature).toFixed(2)+' Umin '+Math.min(...x.voltage).toFixed(4):x.status; } catch(e){return String(e)} }).slice(0,4).join(' | '));
} }, 600000);
