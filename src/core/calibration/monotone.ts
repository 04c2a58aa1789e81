/**
 * The rising sequence nearest to given values, weighted least squares: neighbours that fall are pooled to their mean
 * (pool adjacent violators; M. Ayer et al., Ann. Math. Statist. 26, 1955, 641–647; from memory).
 */
export function rising(values: readonly number[], weights: readonly number[]): number[] {
  const pools: { mean: number; weight: number; count: number }[] = [];
  values.forEach((value, i) => {
    pools.push({ mean: value, weight: weights[i]!, count: 1 });
    while (pools.length > 1 && pools.at(-2)!.mean > pools.at(-1)!.mean) {
      const b = pools.pop()!;
      const a = pools.pop()!;
      const weight = a.weight + b.weight;
      pools.push({
        mean: (a.mean * a.weight + b.mean * b.weight) / weight,
        weight,
        count: a.count + b.count,
      });
    }
  });
  return pools.flatMap(({ mean, count }) => new Array<number>(count).fill(mean));
}
