import { render } from 'preact';
import { Page } from './view/page';

render(<Page />, document.getElementById('app')!);
