-- Undo what was done since the savepoint; the savepoint itself stays.
-- returns nothing
rollback to savepoint here;
