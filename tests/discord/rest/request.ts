import type { IncomingMessage } from 'node:http';
import type { Core } from '../core.ts';

export interface UploadedFile {
  /** The `n` of `files[n]`. */
  index: string;
  name: string;
  type: string;
  bytes: Uint8Array;
}

export interface ApiRequest {
  method: string;
  /** Template, as `POST /channels/:channel/messages`. */
  route: string;
  /** What stood in its place. */
  path: string;
  params: Readonly<Record<string, string>>;
  query: URLSearchParams;
  headers: IncomingMessage['headers'];
  /** Parsed body; undefined when there was none. */
  json: unknown;
  files: readonly UploadedFile[];
}

export interface ApiResult {
  status: number;
  body?: unknown;
}

export type Handler = (core: Core, request: ApiRequest) => ApiResult;

export interface Route {
  /** `POST /channels/:channel/messages`. */
  route: string;
  handle: Handler;
  /** Interaction tokens speak for themselves; everything else needs the bot's. */
  open?: boolean;
  /** Query keys it knows. */
  query?: readonly string[];
}

export const NO_CONTENT: ApiResult = { status: 204 };
export const ok = (body: unknown): ApiResult => ({ status: 200, body });
