/**
 * A pass over a WebAssembly module: where a load or a store reads at a constant plus something else, the constant moves into
 * the instruction. The optimiser leaves such sums alone, since they may wrap around; those of the kernel never do, for its
 * constants are addresses of arrays and what is added are places in them.
 */
import binaryen from 'assemblyscript/binaryen';

/** Operands of expressions, by kind; kinds that are not named have none. */
const OPERANDS = new Map([
  [binaryen.BlockId, ['children']], [binaryen.IfId, ['condition', 'ifTrue', 'ifFalse']], [binaryen.LoopId, ['body']],
  [binaryen.BreakId, ['condition', 'value']], [binaryen.SwitchId, ['condition', 'value']], [binaryen.CallId, ['operands']],
  [binaryen.LocalSetId, ['value']], [binaryen.GlobalSetId, ['value']], [binaryen.LoadId, ['ptr']],
  [binaryen.StoreId, ['ptr', 'value']], [binaryen.UnaryId, ['value']], [binaryen.BinaryId, ['left', 'right']],
  [binaryen.SelectId, ['ifTrue', 'ifFalse', 'condition']], [binaryen.DropId, ['value']], [binaryen.ReturnId, ['value']],
  [binaryen.SIMDExtractId, ['vec']], [binaryen.SIMDReplaceId, ['vec', 'value']], [binaryen.SIMDShuffleId, ['left', 'right']],
  [binaryen.SIMDTernaryId, ['a', 'b', 'c']], [binaryen.SIMDShiftId, ['vec', 'shift']],
  [binaryen.LocalGetId, []], [binaryen.GlobalGetId, []], [binaryen.ConstId, []], [binaryen.NopId, []], [binaryen.UnreachableId, []],
]);

/**
 * @param code of a module
 * @param isAddress tells addresses from other constants
 * @returns code of the module with all such sums folded
 */
export function foldOffsets(code, isAddress) {
  const module = binaryen.readBinary(code);
  module.setFeatures(binaryen.Features.All);
  for (let f = 0; f < module.getNumFunctions(); f++) {
    const { body } = binaryen.getFunctionInfo(module.getFunctionByIndex(f));
    if (body !== 0) fold(body, isAddress);
  }
  module.runPasses(['simplify-locals', 'coalesce-locals', 'reorder-locals', 'vacuum']);
  if (!module.validate()) throw new Error('the kernel is not valid after folding');
  const folded = module.emitBinary();
  module.dispose();
  return folded;
}

function fold(expression, isAddress) {
  const info = binaryen.getExpressionInfo(expression);
  const operands = OPERANDS.get(info.id);
  if (operands === undefined) throw new Error(`an expression of kind ${info.id} is not known`);
  for (const part of operands.flatMap((name) => info[name])) if (part !== 0) fold(part, isAddress);
  if (info.id !== binaryen.LoadId && info.id !== binaryen.StoreId) return;
  const kind = info.id === binaryen.LoadId ? binaryen.Load : binaryen.Store;
  const place = binaryen.getExpressionInfo(info.ptr);
  if (place.id !== binaryen.BinaryId || place.op !== binaryen.AddInt32) return;
  for (const [address, rest] of [[place.left, place.right], [place.right, place.left]]) {
    const { id, value } = binaryen.getExpressionInfo(address);
    if (id !== binaryen.ConstId || !isAddress(value)) continue;
    kind.setOffset(expression, info.offset + value);
    kind.setPtr(expression, rest);
    return;
  }
}
