/** A function in WebAssembly: its text is that of the specification, unfolded, branches by their depth. */
export interface WasmFunction {
  /** All are i32. */
  readonly params: readonly string[];
  readonly i32: readonly string[];
  readonly v128: readonly string[];
  readonly text: string;
}

/** What follows an instruction: nothing, one of the function's variables, numbers of its own, or where in memory. */
type Follows = 'nothing' | 'local' | 'signed' | 'lane' | 'lanes' | 'depth' | 'memory' | 'block';

/** The instructions in use: WebAssembly Core Specification 2.0, chapter 5.4. Vector ones stand behind 0xfd. */
const PLAIN: Record<string, readonly [opcode: number, Follows]> = {
  block: [0x02, 'block'],
  loop: [0x03, 'block'],
  if: [0x04, 'block'],
  else: [0x05, 'nothing'],
  end: [0x0b, 'nothing'],
  br: [0x0c, 'depth'],
  br_if: [0x0d, 'depth'],
  select: [0x1b, 'nothing'],
  'local.get': [0x20, 'local'],
  'local.set': [0x21, 'local'],
  'local.tee': [0x22, 'local'],
  'i32.load': [0x28, 'memory'],
  'f32.load': [0x2a, 'memory'],
  'f64.load': [0x2b, 'memory'],
  'i32.load8_u': [0x2d, 'memory'],
  'i32.load16_s': [0x2e, 'memory'],
  'i32.load16_u': [0x2f, 'memory'],
  'i32.store': [0x36, 'memory'],
  'f32.store': [0x38, 'memory'],
  'f64.store': [0x39, 'memory'],
  'i32.store16': [0x3b, 'memory'],
  'i32.const': [0x41, 'signed'],
  'i32.eqz': [0x45, 'nothing'],
  'i32.eq': [0x46, 'nothing'],
  'i32.ne': [0x47, 'nothing'],
  'i32.lt_s': [0x48, 'nothing'],
  'i32.lt_u': [0x49, 'nothing'],
  'i32.gt_s': [0x4a, 'nothing'],
  'i32.gt_u': [0x4b, 'nothing'],
  'i32.le_u': [0x4d, 'nothing'],
  'i32.ge_u': [0x4f, 'nothing'],
  'i32.clz': [0x67, 'nothing'],
  'i32.add': [0x6a, 'nothing'],
  'i32.sub': [0x6b, 'nothing'],
  'i32.mul': [0x6c, 'nothing'],
  'i32.and': [0x71, 'nothing'],
  'i32.or': [0x72, 'nothing'],
  'i32.xor': [0x73, 'nothing'],
  'i32.shl': [0x74, 'nothing'],
  'i32.shr_s': [0x75, 'nothing'],
  'i32.shr_u': [0x76, 'nothing'],
  'f64.add': [0xa0, 'nothing'],
  'f64.mul': [0xa2, 'nothing'],
  'f32.demote_f64': [0xb6, 'nothing'],
  'f64.promote_f32': [0xbb, 'nothing'],
};
const VECTOR: Record<string, readonly [opcode: number, Follows]> = {
  'v128.load': [0, 'memory'],
  'v128.load32_splat': [9, 'memory'],
  'v128.load64_splat': [10, 'memory'],
  'v128.store': [11, 'memory'],
  'i8x16.shuffle': [13, 'lanes'],
  'i16x8.splat': [16, 'nothing'],
  'i32x4.splat': [17, 'nothing'],
  'i16x8.extract_lane_u': [25, 'lane'],
  'i32x4.extract_lane': [27, 'lane'],
  'i16x8.eq': [45, 'nothing'],
  'i16x8.gt_u': [50, 'nothing'],
  'i16x8.le_u': [52, 'nothing'],
  'i16x8.ge_u': [54, 'nothing'],
  'i32x4.lt_s': [57, 'nothing'],
  'f32x4.lt': [67, 'nothing'],
  'f64x2.gt': [74, 'nothing'],
  'f64x2.ge': [76, 'nothing'],
  'v128.and': [78, 'nothing'],
  'v128.andnot': [79, 'nothing'],
  'v128.or': [80, 'nothing'],
  'v128.xor': [81, 'nothing'],
  'v128.bitselect': [82, 'nothing'],
  'v128.any_true': [83, 'nothing'],
  'f32x4.demote_f64x2_zero': [94, 'nothing'],
  'f64x2.promote_low_f32x4': [95, 'nothing'],
  'i8x16.popcnt': [98, 'nothing'],
  'i8x16.bitmask': [100, 'nothing'],
  'i8x16.narrow_i16x8_s': [101, 'nothing'],
  'i8x16.add': [110, 'nothing'],
  'i16x8.extadd_pairwise_i8x16_u': [125, 'nothing'],
  'i32x4.extadd_pairwise_i16x8_u': [127, 'nothing'],
  'i16x8.abs': [128, 'nothing'],
  'i16x8.narrow_i32x4_s': [133, 'nothing'],
  'i16x8.extend_low_i8x16_u': [137, 'nothing'],
  'i16x8.extend_high_i8x16_u': [138, 'nothing'],
  'i16x8.shr_s': [140, 'nothing'],
  'i16x8.add': [142, 'nothing'],
  'i16x8.sub': [145, 'nothing'],
  'i16x8.sub_sat_u': [147, 'nothing'],
  'i16x8.min_s': [150, 'nothing'],
  'i16x8.min_u': [151, 'nothing'],
  'i16x8.max_s': [152, 'nothing'],
  'i16x8.max_u': [153, 'nothing'],
  'i32x4.extend_low_i16x8_s': [167, 'nothing'],
  'i32x4.extend_high_i16x8_s': [168, 'nothing'],
  'i32x4.extend_low_i16x8_u': [169, 'nothing'],
  'i32x4.extend_high_i16x8_u': [170, 'nothing'],
  'i32x4.shl': [171, 'nothing'],
  'i32x4.shr_s': [172, 'nothing'],
  'i32x4.shr_u': [173, 'nothing'],
  'i32x4.add': [174, 'nothing'],
  'i32x4.sub': [177, 'nothing'],
  'i32x4.mul': [181, 'nothing'],
  'i32x4.min_s': [182, 'nothing'],
  'i32x4.dot_i16x8_s': [186, 'nothing'],
  'i32x4.extmul_low_i16x8_u': [190, 'nothing'],
  'i32x4.extmul_high_i16x8_u': [191, 'nothing'],
  'i64x2.extend_low_i32x4_u': [201, 'nothing'],
  'i64x2.extend_high_i32x4_u': [202, 'nothing'],
  'i64x2.add': [206, 'nothing'],
  'f64x2.add': [240, 'nothing'],
  'f64x2.sub': [241, 'nothing'],
  'f64x2.mul': [242, 'nothing'],
  'f64x2.div': [243, 'nothing'],
  'f64x2.min': [244, 'nothing'],
  'f64x2.pmax': [247, 'nothing'],
  'i32x4.trunc_sat_f64x2_s_zero': [252, 'nothing'],
  'f64x2.convert_low_i32x4_s': [254, 'nothing'],
};

const I32 = 0x7f;
const V128 = 0x7b;
const NO_RESULT = 0x40;
const END = 0x0b;

/*
 * Every thread assembles what it needs while all code is still cold, so bytes are written where they belong, one by one: lists made
 * for each instruction and joined took five times as long (11.5 and 2.4 ms for 1.5 kB).
 */

/** LEB128 of a whole number of up to 32 bits (chapter 5.2.2). */
function putUnsigned(bytes: number[], value: number): void {
  let rest = value;
  for (; rest >= 128; rest >>>= 7) bytes.push((rest & 127) | 128);
  bytes.push(rest);
}

function putSigned(bytes: number[], value: number): void {
  let rest = value;
  for (; rest < -64 || rest >= 64; rest >>= 7) bytes.push((rest & 127) | 128);
  bytes.push(rest & 127);
}

/** A piece with its length in front. */
function putSized(bytes: number[], piece: readonly number[]): void {
  putUnsigned(bytes, piece.length);
  for (const byte of piece) bytes.push(byte);
}

function putName(bytes: number[], text: string): void {
  putUnsigned(bytes, text.length);
  for (let i = 0; i < text.length; i++) bytes.push(text.charCodeAt(i));
}

const OFFSET = 'offset=';

/** Writes the words of a text, whose variables are `locals`, as instructions. */
function putCode(bytes: number[], text: string, locals: readonly string[]): void {
  const words = text.trim().split(/\s+/);
  let at = 0;
  while (at < words.length) {
    const name = words[at++]!;
    const plain = PLAIN[name];
    const instruction = plain ?? VECTOR[name];
    if (!instruction) throw new Error(`no such instruction: ${name}`);
    if (plain) bytes.push(plain[0]);
    else {
      bytes.push(0xfd);
      putUnsigned(bytes, instruction[0]);
    }
    switch (instruction[1]) {
      case 'local':
        putUnsigned(bytes, locals.indexOf(words[at++]!.slice(1)));
        break;
      case 'signed':
        putSigned(bytes, Number(words[at++]));
        break;
      case 'lane':
      case 'depth':
        putUnsigned(bytes, Number(words[at++]));
        break;
      case 'lanes':
        for (const end = at + 16; at < end; at++) bytes.push(Number(words[at]));
        break;
      case 'memory':
        // no alignment is promised; an offset may follow
        bytes.push(0);
        putUnsigned(bytes, words[at]?.startsWith(OFFSET) ? Number(words[at++]!.slice(OFFSET.length)) : 0);
        break;
      case 'block':
        bytes.push(NO_RESULT);
    }
  }
}

function codeOf({ params, i32, v128, text }: WasmFunction): number[] {
  const code: number[] = [2];
  putUnsigned(code, i32.length);
  code.push(I32);
  putUnsigned(code, v128.length);
  code.push(V128);
  putCode(code, text, [...params, ...i32, ...v128]);
  code.push(END);
  return code;
}

/**
 * The bytes of a module (chapter 5.5) that exports the functions by their names and imports its memory as `shared.memory`.
 * Throws an Error at an instruction that is not in the table; whether the whole is right, the engine says.
 */
export function assemble(functions: Readonly<Record<string, WasmFunction>>): Uint8Array<ArrayBuffer> {
  const all = Object.entries(functions);
  const bytes = [0, 0x61, 0x73, 0x6d, 1, 0, 0, 0];
  const section = (id: number, count: number, put: (into: number[]) => void): void => {
    const piece: number[] = [];
    putUnsigned(piece, count);
    put(piece);
    bytes.push(id);
    putSized(bytes, piece);
  };
  section(1, all.length, (types) => {
    for (const [, { params }] of all) {
      types.push(0x60);
      putUnsigned(types, params.length);
      for (const _ of params) types.push(I32);
      types.push(0);
    }
  });
  section(2, 1, (imports) => {
    putName(imports, 'shared');
    putName(imports, 'memory');
    imports.push(2, 0, 1);
  });
  section(3, all.length, (indices) => {
    for (const i of all.keys()) putUnsigned(indices, i);
  });
  section(7, all.length, (exports) => {
    for (const [i, [name]] of all.entries()) {
      putName(exports, name);
      exports.push(0);
      putUnsigned(exports, i);
    }
  });
  section(10, all.length, (codes) => {
    for (const [, code] of all) putSized(codes, codeOf(code));
  });
  return Uint8Array.from(bytes);
}
