-- Undo the transaction.
-- returns nothing
rollback;
