import { Store } from '../store';

/** The id of the cell that was added for a photograph, whose panel opens with it. */
export const openPhotograph = new Store<string>('');
