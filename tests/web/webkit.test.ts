import { webkit } from './engines';
import { everyEngine } from './every-engine';

everyEngine(webkit());
