export { Motion, MovingMusic };
