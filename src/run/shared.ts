type Table = Uint8Array | Uint16Array | Uint32Array | Int16Array | Int32Array | Float32Array | Float64Array;

/**
 * The same plain data with its tables in memory that threads share: sent to one, it is not copied. Tables are only read from
 * then on. What is no table, array or plain object stays as it is.
 */
export function inSharedMemory<Data>(data: Data): Data {
  if (data === null || typeof data !== 'object') return data;
  if (ArrayBuffer.isView(data))
    return data instanceof DataView ? data : (sharedTable(data as unknown as Table) as Data);
  if (Array.isArray(data)) return data.map(inSharedMemory) as Data;
  if (Object.getPrototypeOf(data) !== Object.prototype) return data;
  return Object.fromEntries(Object.entries(data).map(([key, value]) => [key, inSharedMemory(value)])) as Data;
}

function sharedTable(table: Table): Table {
  if (table.buffer instanceof SharedArrayBuffer) return table;
  const Kind = table.constructor as new (memory: SharedArrayBuffer) => Table;
  const shared = new Kind(new SharedArrayBuffer(table.byteLength));
  shared.set(table);
  return shared;
}
