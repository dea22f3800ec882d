-- The course of a jump, as the caller packs it; beside the jumps, so that rows there stay short. Jumps that were stored before have none.
create table jump_curves (
    id $id$ not null primary key,
    curves $bytes$ not null
);
