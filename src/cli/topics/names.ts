/** Names of the topics, apart from their texts, which bring in the registries that they tell of. */
export const topicNames = [
  'lengths',
  'screens',
  'orientation',
  'files',
  'pipes',
  'exit-codes',
  'safety',
] as const;

export type TopicName = (typeof topicNames)[number];
