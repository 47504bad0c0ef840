import type { Database } from 'better-sqlite3';
import type { BoardRow } from '../port.ts';
import { type BoardSql, fromBoard, toBoard } from '../rows.ts';

/** Boards, facts and holds. What writes is work to be run inside a transaction. */
export interface SharedWork {
  board(trip: string): BoardRow | undefined;
  wantedBoards(): string[];
  setBoard(trip: string, board: BoardRow): void;
  fact(name: string): string | undefined;
  setFact(name: string, value: string | undefined): void;
  swapFact(name: string, was: string | undefined, value: string | undefined): boolean;
  hold(name: string, owner: string, forMs: number): boolean;
  letGo(name: string, owner: string): void;
  letAllGo(owner: string): void;
  /** Owners whose processes are gone, whose names are forgotten by that. */
  gone(): string[];
}

/** Who is at work holds this before its own name. */
const PROCESS = 'process:';

export function sharedWork(db: Database, wallMs: () => number): SharedWork {
  const board = db.prepare<[string], BoardSql>('SELECT * FROM board WHERE trip = ?');
  const wanted = db.prepare<[], string>('SELECT trip FROM board WHERE wanted = 1').pluck();
  const setBoard = db.prepare(
    `INSERT OR REPLACE INTO board
       (trip, posts, channel, message, pinned, wanted, shown_by, shown_at_ms, shown_seq)
     VALUES
       (@trip, @posts, @channel, @message, @pinned, @wanted, @shown_by, @shown_at_ms, @shown_seq)`,
  );
  const fact = db.prepare<[string], string>('SELECT value FROM fact WHERE name = ?').pluck();
  const setFact = db.prepare(
    `INSERT INTO fact (name, value) VALUES (?, ?)
     ON CONFLICT (name) DO UPDATE SET value = excluded.value`,
  );
  const dropFact = db.prepare('DELETE FROM fact WHERE name = ?');
  const hold = db.prepare(
    `INSERT INTO lease (name, owner, until_ms) VALUES (@name, @owner, @nowMs + @forMs)
     ON CONFLICT (name) DO UPDATE SET owner = excluded.owner, until_ms = excluded.until_ms
     WHERE owner = excluded.owner OR until_ms <= @nowMs`,
  );
  const letGo = db.prepare('DELETE FROM lease WHERE name = ? AND owner = ?');
  const letAllGo = db.prepare('DELETE FROM lease WHERE owner = ?');
  const gone = db
    .prepare<[number], string>(
      `DELETE FROM lease WHERE name = '${PROCESS}' || owner AND until_ms <= ? RETURNING owner`,
    )
    .pluck();

  function set(name: string, value: string | undefined): void {
    if (value === undefined) dropFact.run(name);
    else setFact.run(name, value);
  }

  return {
    board(trip) {
      const row = board.get(trip);
      return row === undefined ? undefined : toBoard(row);
    },
    wantedBoards: () => wanted.all(),
    setBoard: (trip, row) => void setBoard.run(fromBoard(trip, row)),
    fact: (name) => fact.get(name),
    setFact: set,
    swapFact(name, was, value) {
      if (fact.get(name) !== was) return false;
      set(name, value);
      return true;
    },
    hold: (name, owner, forMs) =>
      hold.run({ name, owner, forMs: Math.round(forMs), nowMs: Math.round(wallMs()) }).changes > 0,
    letGo: (name, owner) => void letGo.run(name, owner),
    letAllGo: (owner) => void letAllGo.run(owner),
    gone: () => gone.all(Math.round(wallMs())),
  };
}
