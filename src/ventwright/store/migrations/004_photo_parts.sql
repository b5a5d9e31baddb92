-- Pieces of pictures on their way from one device to another, by the hash of the whole that they will be.
create table photo_part (
  parcel text not null,
  at bigint not null,
  content bytea not null,
  primary key (parcel, at)
);
