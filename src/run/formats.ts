export { formats } from '../io/formats/index.ts';
