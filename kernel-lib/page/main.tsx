import { render } from 'preact';
import { Page } from './view/page';

render(<Page address={location.pathname} />, document.getElementById('app')!);
